"""The guarded wipe: who is refused, what a permit is good for, what the certificate holds."""

from __future__ import annotations

import hashlib
import json
import multiprocessing
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest

from stock.desk import wiping
from stock.desk.certificates import certificate, certificate_lines
from stock.desk.desk import Desk
from stock.desk.errors import NotDirectly
from stock.desk.exchanging import load
from stock.desk.rereading import media_of, read_again
from stock.desk.wipe_errors import (
    AnswerStale,
    BulkNeeded,
    HeadsUnknown,
    HeardDiffers,
    LabelDiffers,
    NoPermit,
    RereadNeeded,
    SecondPersonNeeded,
    WipeRefused,
)
from stock.store.check import check
from tests.desk.clock import DAY_US, Clock

HASH = "a" * 64


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def desk(tmp_path: Path, clock: Clock) -> Iterator[Desk]:
    """Reel R1 with a proved take, its copies read today; R2 blank, R3 with a take nobody proved."""
    desk = Desk.open(tmp_path / "house.db", "Ann", now_us=clock)
    desk.add("formulation", {"formulation": "Corvane C40", "base": "polyester"})
    desk.add("stock-item", {"stock_item": "two", "formulation": "Corvane C40", "width": "2 in", "length": "2500 ft"})
    desk.add("machine", {"machine": "Deck 16", "tracks": "16"})
    desk.add("machine", {"machine": "Deck 24", "tracks": "24"})
    for reel in ("R1", "R2", "R3"):
        cells = {"reel": reel, "stock_item": "two", "tracks": "16", "owner": "house", "arrived_as": "sealed"}
        desk.add("reel", cells | ({"role": "master"} if reel == "R2" else {}))
    desk.add("project", {"project": "P", "client": "house"})
    stretch = {"start": "1:00", "end": "21:00", "speed": "15 ips"}
    desk.add("take", {**stretch, "reel": "R1", "project": "P", "title": "Ferry Song", "take": "1"})
    desk.add("take", {**stretch, "reel": "R3", "project": "P", "title": "Tide", "take": "1"})
    desk.add("transfer", {**stretch, "reel": "R1", "transfer": "T1", "tracks": "1-16", **FORMAT})
    desk.add("listen", {"transfer": "T1"})
    for copy, place in (("a", "here"), ("b", "elsewhere")):
        desk.add("copy", {"transfer": "T1", "copy": copy, "medium": f"disk {copy}", "place": place})
        reread(desk, copy)
    clock.now_us += 14 * DAY_US
    reread(desk, "a")
    desk.add("finding", {"reel": "R1", "kind": "inspection", "severity": "0"})
    yield desk
    desk.close()


FORMAT = {"sample_rate_hz": "96 kHz", "bit_depth": "24"}
HEARD = ["Ferry Song"] * 3


def reread(desk: Desk, copy: str, result: str = "pass") -> None:
    cells = {"transfer": "T1", "copy": copy, "method": "read", "result": result, "manifest_sha256": HASH}
    desk.add("copy-check", cells)


def wipes(desk: Desk) -> int:
    with desk.store.reading() as reader:
        return int(reader.raw("SELECT count(*) FROM wipes")[0][0])


def permit(desk: Desk) -> wiping.Permit:
    return wiping.permit(desk, "R1", label="R1", heard=HEARD)


def test_the_steps_in_their_order(desk: Desk) -> None:
    given = permit(desk)
    (entry,) = wiping.done(desk, "R1", method="bulk").entries
    (answer,) = desk.advise(["R1"])
    assert answer.verdict == "inspect"
    assert "wiped-not-heard" in {reason.code for reason in answer.reasons}
    desk.add("finding", {"reel": "R1", "kind": "listened", "severity": "0"})
    (answer,) = desk.advise(["R1"])
    assert answer.verdict == "blank"
    content = certificate(desk, entry)
    assert content is not None
    assert content["certificate"] == given.certificate == hashlib.sha256(given.text.encode()).hexdigest()
    assert check(desk.store.path) == []


def test_the_certificate_holds_what_was_there_its_proof_and_the_rules(desk: Desk) -> None:
    desk.add("copy-file", {"transfer": "T1", "copy": "a", "path": "01.wav", "sha256": HASH})
    desk.add("rule", {"rule": "cooling_days", "value": "13"})
    content = json.loads(permit(desk).text)
    assert [take["take"] for take in content["takes"]] == ["take Ferry Song/1"]
    (transfer,) = content["transfers"]
    assert {copy["medium"] for copy in transfer["copies"]} == {"disk a", "disk b"}
    assert HASH in json.dumps(transfer["checks"])
    assert transfer["files"] == [["a", "01.wav", None, HASH, None]]
    assert content["rules"]["cooling_days"] == 13
    assert [(rule["rule"], rule["by"]) for rule in content["rules_set"]] == [("cooling_days", "Ann")]
    assert content["by"] == "Ann"
    (entry,) = wiping.done(desk, "R1", method="bulk").entries
    found = certificate(desk, entry)
    assert found is not None
    assert any("Ferry Song/1" in line for line in certificate_lines(found))


def test_anything_but_yes_refuses_for_everyone(desk: Desk) -> None:
    for who in ("Ann", "the owner", "root"):
        desk.who = who
        with pytest.raises(WipeRefused, match="never been transferred"):
            wiping.permit(desk, "R3", label="R3", heard=["Tide"] * 3)
    assert wipes(desk) == 0


@pytest.mark.parametrize("label", ["", "R2", "r 1", "R-1", "R11"])
def test_the_label_is_read_off_the_reel(desk: Desk, label: str) -> None:
    with pytest.raises(LabelDiffers):
        wiping.permit(desk, "R1", label=label, heard=HEARD)


@pytest.mark.parametrize(
    "heard", [[], ["Ferry Song"], ["Tide"] * 3, ["Ferry Song", "Ferry Song", "no title"], ["y"] * 3]
)
def test_what_is_heard_is_what_the_sheet_says(desk: Desk, heard: list[str]) -> None:
    with pytest.raises(HeardDiffers):
        wiping.permit(desk, "R1", label="R1", heard=heard)


def test_a_copy_was_read_within_the_week(desk: Desk, clock: Clock) -> None:
    clock.now_us += 8 * DAY_US
    with pytest.raises(RereadNeeded):
        permit(desk)
    reread(desk, "b")
    assert permit(desk)


@pytest.mark.parametrize("second", [None, "", "Ann", " ANN "])
def test_a_master_needs_another_person(desk: Desk, second: str | None) -> None:
    silent = ["no title"] * 3
    with pytest.raises(SecondPersonNeeded):
        wiping.permit(desk, "R2", label="R2", heard=silent, second=second)
    assert wiping.permit(desk, "R2", label="R2", heard=silent, second="Bob")


def test_the_house_may_ask_for_another_person_always(desk: Desk) -> None:
    desk.add("rule", {"rule": "second_person_always", "value": "1"})
    with pytest.raises(SecondPersonNeeded):
        permit(desk)


CHANGES: dict[str, Callable[[Desk], object]] = {
    "a hold": lambda desk: desk.add("hold", {"hold": "H", "reel": "R1", "reason": "the client rang"}),
    "a failed check": lambda desk: reread(desk, "a", "fail"),
    "a punch-in": lambda desk: desk.add("pass", {"reel": "R1", "kind": "record", "tracks": "7"}),
    "a take": lambda desk: desk.add(
        "take", {"reel": "R1", "title": "x", "take": "1", "start": "50 ft", "end": "60 ft", "speed": "15 ips"}
    ),
    "another owner": lambda desk: desk.add("owner", {"reel": "R1", "owner": "The Pellow Sisters"}),
    "out": lambda desk: desk.add("move", {"reel": "R1", "kind": "out"}),
    "a stricter rule": lambda desk: desk.add("rule", {"rule": "copies_needed", "value": "3"}),
    "a looser rule": lambda desk: desk.add("rule", {"rule": "copies_needed", "value": "1"}),
    "a set": lambda desk: [desk.add("set", {"set": "S", "reel": reel}) for reel in ("R1", "R3")],
    "a void of the listen": lambda desk: desk.void(_entry(desk, "listens"), "nobody listened"),
    "a void of the transfer's check": lambda desk: desk.void(_entry(desk, "copy_checks"), "another disk"),
    "a reading": lambda desk: reread(desk, "b"),
}


def _entry(desk: Desk, file: str) -> int:
    with desk.store.reading() as reader:
        return int(reader.raw(f"SELECT max(entry) FROM {file}")[0][0])


@pytest.mark.parametrize("name", CHANGES)
def test_a_permit_is_void_once_anything_was_entered_about_the_reel(desk: Desk, name: str) -> None:
    permit(desk)
    CHANGES[name](desk)
    with pytest.raises((NoPermit, WipeRefused)):
        wiping.done(desk, "R1", method="bulk")
    assert wipes(desk) == 0


def test_what_is_entered_about_other_reels_leaves_it_good(desk: Desk) -> None:
    permit(desk)
    desk.add("pass", {"reel": "R3", "kind": "play"})
    assert wiping.done(desk, "R1", method="bulk").entries


def test_a_permit_is_good_for_its_day_and_once(desk: Desk, clock: Clock) -> None:
    permit(desk)
    clock.now_us += DAY_US
    with pytest.raises(NoPermit, match="another day"):
        wiping.done(desk, "R1", method="bulk")
    permit(desk)
    wiping.done(desk, "R1", method="bulk")
    with pytest.raises(NoPermit):
        wiping.done(desk, "R1", method="bulk")
    with pytest.raises(NoPermit, match="none was given"):
        wiping.done(desk, "R3", method="bulk")


def test_a_clock_set_back_does_not_help(desk: Desk, clock: Clock) -> None:
    permit(desk)
    clock.now_us += DAY_US
    desk.add("pass", {"reel": "R3", "kind": "play"})
    clock.now_us -= DAY_US
    with pytest.raises(NoPermit, match="another day"):
        wiping.done(desk, "R1", method="bulk")


def test_another_head_format_asks_for_bulk(desk: Desk) -> None:
    permit(desk)
    with pytest.raises(BulkNeeded):
        wiping.done(desk, "R1", method="machine", machine="Deck 24")
    assert wiping.done(
        desk, "R1", method="machine", machine="Deck 16", start="1:00", end="21:00", speed="15 ips"
    ).entries


@pytest.mark.parametrize("machine", ["", "Deck 9"])
def test_heads_nobody_entered_reach_nothing(desk: Desk, machine: str) -> None:
    if machine:
        desk.add("machine", {"machine": machine})
    permit(desk)
    with pytest.raises(HeadsUnknown):
        wiping.done(desk, "R1", method="machine", machine=machine)
    assert wipes(desk) == 0


@pytest.mark.parametrize("name", CHANGES)
def test_a_stale_screen_is_refused_with_what_changed(desk: Desk, name: str) -> None:
    shown = wiping.standing(desk, "R1")
    CHANGES[name](desk)
    with pytest.raises(AnswerStale, match=r"by Ann \(entry \d+\)"):
        wiping.permit(desk, "R1", label="R1", heard=HEARD, seen=shown.seen)


def test_a_screen_of_yesterday_is_refused(desk: Desk, clock: Clock) -> None:
    shown = wiping.standing(desk, "R1")
    clock.now_us += DAY_US
    with pytest.raises(AnswerStale, match="another day"):
        wiping.permit(desk, "R1", label="R1", heard=HEARD, seen=shown.seen)


def test_what_others_do_leaves_a_screen_good(desk: Desk) -> None:
    shown = wiping.standing(desk, "R1")
    desk.add("pass", {"reel": "R3", "kind": "play"})
    assert wiping.permit(desk, "R1", label="R1", heard=HEARD, seen=shown.seen)


def test_the_step_follows_the_hand(desk: Desk) -> None:
    assert wiping.standing(desk, "R1").step == "permit"
    given = permit(desk)
    shown = wiping.standing(desk, "R1")
    assert (shown.step, shown.certificate) == ("erase", given.certificate)
    wiping.done(desk, "R1", method="bulk")
    assert wiping.standing(desk, "R1").step == "listen"
    desk.add("finding", {"reel": "R1", "kind": "listened", "severity": "0"})
    shown = wiping.standing(desk, "R1")
    assert (shown.step, shown.certificate) == ("permit", None)


def test_standing_is_of_now_whatever_day_is_asked_for(desk: Desk, tmp_path: Path, clock: Clock) -> None:
    desk.add("hold", {"hold": "H", "reel": "R1", "reason": "the client rang"})
    other = Desk(desk.store, "Ann", today=date(2026, 3, 15), now_us=clock)
    assert wiping.standing(other, "R1").answer.erasable == "no"


def test_it_names_the_transfers_to_read_once_more(desk: Desk, clock: Clock) -> None:
    assert wiping.standing(desk, "R1").unread == ()
    clock.now_us += 8 * DAY_US
    assert wiping.standing(desk, "R1").unread == ("T1",)
    assert read_again(desk, ["T1"]) == [], "no copy of it has a folder"
    assert media_of(desk, "T1") == ["disk a", "disk b"]


def test_no_other_way_leads_to_a_wipe(desk: Desk, tmp_path: Path, clock: Clock) -> None:
    with pytest.raises(NotDirectly):
        desk.add("wipe", {"reel": "R1", "method": "bulk"})
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / "wipes.csv").write_text("reel,date,method\nR3,2026-03-10,bulk\n")
    assert not load(desk, folder).problems
    (answer,) = desk.advise(["R3"])
    assert answer.verdict == "keep"
    assert {"wipe-unproved", "not-transferred"} <= {reason.code for reason in answer.reasons}


def _hold(path: str, now_us: int, barrier: object) -> None:
    desk = Desk.open(path, "Bob", now_us=lambda: now_us)
    barrier.wait()  # type: ignore[attr-defined]
    desk.add("hold", {"hold": "H", "reel": "R1", "reason": "the client rang"})
    desk.close()


def test_a_wipe_and_a_hold_at_once_are_never_both(desk: Desk) -> None:
    """Whichever is first: a wipe never stands after a hold of its reel in the journal."""
    context = multiprocessing.get_context("spawn")
    permit(desk)
    barrier = context.Barrier(2)
    other = context.Process(target=_hold, args=(str(desk.store.path), desk._now_us(), barrier))
    other.start()
    barrier.wait()
    refused = False
    try:
        wiping.done(desk, "R1", method="bulk")
    except (NoPermit, WipeRefused):
        refused = True
    other.join()
    with desk.store.reading() as reader:
        held = reader.raw("SELECT line FROM holds")[0][0]
        wiped = reader.raw("SELECT line FROM wipes")
    assert refused == (not wiped)
    assert not wiped or wiped[0][0] < held
