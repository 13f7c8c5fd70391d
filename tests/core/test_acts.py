"""What to do so that a reel becomes clear: each act wanted, none too many, and those said to be enough are."""

from __future__ import annotations

import os
from collections import Counter
from datetime import date, timedelta

import pytest

from stock.core.acts import Way, way_to_clear
from stock.core.house import House
from stock.core.moments import Calendar, day_number, end_of_day
from stock.core.proving_acts import Act
from stock.core.verdict import Advice, advise
from stock.store.store import Store
from tests.oracle.houses import AS_OF

from .builder import HASH, Row, Studio, codes
from .entry import facts_of, house_of
from .test_agreement import rows_of

SEEDS = 1500 if os.environ.get("REELWARD_NIGHTLY") else 150
CHUNK = 25
CALENDAR = Calendar("UTC")
Rows = dict[str, list[Row]]


def way(studio: Studio) -> Way:
    return way_to_clear(studio.answer())


def listed(found: Way) -> list[str]:
    return [act.code for act in found.acts]


@pytest.fixture
def studio(empty: Store) -> Studio:
    return Studio(empty)


def test_a_clear_reel_asks_for_nothing(studio: Studio) -> None:
    studio.proved_take()
    assert way(studio) == Way((), True, ())


def test_a_take_on_tape_alone_asks_for_a_transfer_and_all_that_proves_one(studio: Studio) -> None:
    studio.take()
    found = way(studio)
    assert (listed(found), found.enough) == (["transfer", "copies", "hear", "wait"], True)
    assert found.acts[0].codes == ("not-transferred",)
    assert (found.acts[1].number, found.acts[3].number) == (2, 14)
    assert "on 2 media, 1 of them elsewhere" in found.acts[1].says


def test_two_takes_are_one_transfer(studio: Studio) -> None:
    studio.take()
    studio.take("300 ft", "400 ft", take="2")
    assert listed(way(studio)) == ["transfer", "copies", "hear", "wait"]
    assert "take river/1, take river/2" in way(studio).acts[0].says


def test_one_copy_elsewhere_that_was_only_stated_is_one_read(studio: Studio) -> None:
    chain = studio.proved_take()
    chain.checks[1]["method"] = "stated"
    assert way(studio).acts == (
        Act(
            "read",
            "read copy c2 of T1 on drive blue through",
            ("too-few-copies", "one-medium", "none-elsewhere", "copy-only-stated"),
            "T1",
            "c2",
        ),
    )


def test_no_copy_is_read_that_would_not_help(studio: Studio) -> None:
    chain = studio.proved_take()
    chain.checks[1]["method"] = "stated"
    # on the medium of the good one, and here: nothing that is wanted
    studio.copy("c0", "drive red", "here")
    assert [(act.code, act.copy) for act in way(studio).acts] == [("read", "c2")]


def test_copies_that_cannot_be_mended_in_fewer_acts_are_made(studio: Studio) -> None:
    studio.take()
    studio.transfer()
    studio.listen()
    for copy in ("c1", "c2", "c3"):
        studio.copy(copy, "drive red", "here")
    found = way(studio)
    assert [(act.code, act.copy) for act in found.acts] == [("read", "c1"), ("copy", None)]
    assert found.enough


def test_only_time_is_only_a_wait(studio: Studio) -> None:
    chain = studio.proved_take()
    chain.transfer["date"] = "2026-05-25"
    for row in (chain.listen, *chain.checks):
        row["date"] = "2026-05-26"
    (act,) = way(studio).acts
    assert (act.code, act.number, act.codes) == ("wait", 7, ("cooling-off",))
    assert "2026-06-08" in act.says


def test_a_transfer_that_cools_for_longer_than_a_read_counts_is_read_again(studio: Studio) -> None:
    studio.take()
    studio.project["cool_days"] = "365"
    assert "read them through again" not in way(studio).acts[-1].says
    studio.project["cool_days"] = "366"
    assert "read them through again" in way(studio).acts[-1].says


def test_files_below_the_house_format_are_transferred_again(studio: Studio) -> None:
    studio.proved_take().transfer["bit_depth"] = "16"
    found = way(studio)
    assert listed(found) == ["transfer", "copies", "hear", "wait"]
    assert found.acts[0].codes == ("format-too-low",)


def test_of_two_transfers_the_one_that_takes_fewer_acts_is_proved(studio: Studio) -> None:
    chain = studio.proved_take()
    chain.checks[1]["method"] = "stated"
    studio.transfer(name="T2")
    assert [(act.code, act.transfer) for act in way(studio).acts] == [("read", "T1")]


def test_whoever_must_be_asked_is_asked_first_and_time_comes_last(studio: Studio) -> None:
    studio.take()
    studio.project["release_needed"] = "yes"
    studio.add("holds", hold="H1", reel="R1", date="2026-05-01", reason="a court asks", by="Ada Quill")
    studio.add("moves", reel="R1", date="2026-05-02", kind="out", to="Harl")
    found = way(studio)
    assert listed(found)[:3] == ["return", "end-hold", "release"]
    assert listed(found)[-1] == "wait"
    assert found.enough


def test_one_listen_answers_both_questions(studio: Studio) -> None:
    studio.first_reel["arrived_as"] = "recorded"
    studio.first_reel["passes_before"] = "3"
    assert listed(way(studio)) == ["listen-tape"]
    studio.wipe("2026-05-10", method="machine", start="0 ft", end="1000 ft", speed="15 ips")
    found = way(studio)
    assert (listed(found), found.enough) == (["listen-tape"], True)
    assert set(found.acts[0].codes) >= {"content-unknown"}


@pytest.mark.parametrize("kind", ["sticky", "mould"])
def test_sick_tape_is_not_played_first_and_nothing_is_promised(studio: Studio, kind: str) -> None:
    studio.take()
    studio.find(kind, "1", "2026-05-10")
    found = way(studio)
    assert listed(found)[0] == "specialist"
    assert not found.enough
    assert kind in found.left


@pytest.mark.parametrize("what", ["reference", "retired", "unlogged"])
def test_what_no_act_is_known_to_end_is_said(studio: Studio, what: str) -> None:
    if what == "reference":
        studio.first_reel["role"] = "reference"
        left = "reference-tape"
    elif what == "retired":
        studio.add("retirements", reel="R1", date="2026-05-10", reason="worn")
        left = "retired"
    else:
        studio.record("100 ft", "300 ft")
        left = "unlogged-recording"
    found = way(studio)
    assert not found.enough
    assert left in found.left


def test_tape_that_is_worn_out_is_not_promised_to_become_clear(studio: Studio) -> None:
    studio.take()
    studio.play(900)
    found = way(studio)
    assert not found.enough
    assert found.left == ("too-many-passes",)
    assert listed(found)[0] == "transfer", "what is on it is to be saved all the same"


def test_nobody_is_told_to_give_a_take_up(studio: Studio) -> None:
    studio.take()
    assert not any(word in act.says for act in way(studio).acts for word in ("discard", "wipe", "erase"))


def done(rows: Rows, answer: Advice, acts: tuple[Act, ...], day: date) -> Rows:
    """The rows of a house in which acts were done at noon of a day, and all went well."""
    house, reel, noon = answer.view.house, answer.reel, f"{day.isoformat()}T12:00:00Z"
    after = f"{day.isoformat()}T13:00:00Z"
    more: Rows = {}

    def add(file: str, **cells: str) -> None:
        more.setdefault(file, []).append(cells)

    def good(transfer: str, copy: str) -> None:
        add("copy_checks", transfer=transfer, copy=copy, date=after, method="read", result="pass", manifest_sha256=HASH)

    for number, act in enumerate(acts):
        name = act.transfer or "new"
        match act.code:
            case "return":
                add("moves", reel=reel, date=noon, kind="back")
            case "end-hold":
                held = {entry for reason in answer.reasons if reason.code == "on-hold" for entry in reason.facts}
                for hold in house.record.of("holds"):
                    if hold.entry in held and f"hold {hold.hold} " in act.says:
                        add("hold_ends", hold=hold.hold, date=noon)
            case "release":
                add("releases", reel=reel, date=noon, granted_by="Cam Dorrel")
            case "listen-tape":
                add("findings", reel=reel, date=noon, kind="listened", severity="0")
            case "inspect":
                add("findings", reel=reel, date=noon, kind="inspection", severity="0")
            case "transfer":
                whole = {"start": "0 ft", "end": f"{answer.view.length / 10_000:.4f} m", "speed": "15 ips"}
                best = {"tracks": f"1-{max(answer.view.reel.tracks, 24)}", "sample_rate_hz": "96000", "bit_depth": "24"}
                add("transfers", transfer="new", reel=reel, date=noon, **whole, **best)
            case "copies" | "copy":
                made = [act.copy] if act.copy else [f"n{number}-{at}" for at in range(max(act.number, 1))]
                for copy in made:
                    if act.copy is None:
                        add("copies", transfer=name, copy=copy, medium=f"disk {copy}", place="elsewhere")
                    good(name, copy)
            case "read":
                good(name, act.copy or "")
            case "hear":
                add("listens", transfer=name, date=after, by="Bo Tarn")
            case "wait":
                pass
            case _:
                raise AssertionError(f"{act.code} is not enough by itself")
    return {file: [*rows.get(file, []), *more.get(file, [])] for file in rows.keys() | more.keys()}


def at(empty: Store, rows: Rows, day: date) -> House:
    return house_of(facts_of(empty, rows), end_of_day(CALENDAR, day_number(day)))


def but_for_time(found: Way) -> tuple[tuple[Act, ...], bool]:
    return tuple(act for act in found.acts if act.code != "wait"), found.enough


def wait_days(acts: tuple[Act, ...]) -> int:
    return max((act.number for act in acts if act.code == "wait"), default=0)


@pytest.mark.parametrize("first", range(0, SEEDS, CHUNK))
def test_acts_that_are_said_to_be_enough_make_the_reel_clear(empty: Store, first: int) -> None:
    seen: Counter[str] = Counter()
    for seed in range(first, first + CHUNK):
        rows = rows_of(seed)
        for answer in advise(at(empty, rows, AS_OF)):
            found = way_to_clear(answer)
            assert found.enough == (not found.left) or not found.acts
            # copies of a transfer that cools for more than a year are read again by then, which is still to come here
            if not found.acts or not found.enough or wait_days(found.acts) > 365:
                continue
            begun = AS_OF + timedelta(days=1)
            ended = begun + timedelta(days=1 + wait_days(found.acts))
            # what falls due meanwhile, or was entered for later, is no fault of the list
            (waited,) = advise(at(empty, rows, ended), [answer.reel])
            if but_for_time(way_to_clear(waited)) != but_for_time(found):
                continue
            try:
                (now,) = advise(at(empty, done(rows, answer, found.acts, begun), ended), [answer.reel])
            except AssertionError as error:
                raise AssertionError((seed, answer.reel, found)) from error
            assert now.verdict in ("clear", "blank"), (seed, answer.reel, found, codes(now))
            seen.update(act.code for act in found.acts)
    assert seen["wait"] + seen["read"] + seen["transfer"] + seen["listen-tape"] > 3


@pytest.mark.parametrize("first", range(0, SEEDS, 3 * CHUNK))
def test_no_act_of_the_list_is_idle(empty: Store, first: int) -> None:
    """Left out, any act but those of a new transfer leaves the reel as it was kept."""
    tried = 0
    for seed in range(first, first + CHUNK):
        rows = rows_of(seed)
        for answer in advise(at(empty, rows, AS_OF)):
            found = way_to_clear(answer)
            if not found.enough or not 1 < len(found.acts) < 7:
                continue
            begun = AS_OF + timedelta(days=1)
            for number, act in enumerate(found.acts):
                # a release of the whole reel would do for all of them, but they may be several people's to give
                several = act.code == "release" and listed(found).count("release") > 1
                passes = act.code == "end-hold" and any(row.get("until") for row in rows.get("holds", []))
                if act.code == "wait" or several or passes or "transfer" in listed(found):
                    continue
                fewer = (*found.acts[:number], *found.acts[number + 1 :])
                ended = begun + timedelta(days=1 + wait_days(fewer))
                (now,) = advise(at(empty, done(rows, answer, fewer, begun), ended), [answer.reel])
                tried += 1
                assert now.verdict not in ("clear", "blank"), (seed, answer.reel, act)
    assert tried
