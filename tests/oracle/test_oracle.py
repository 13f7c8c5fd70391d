"""May the recording go: the second judge on tiny houses, with answers worked out by hand from the rules as worded."""

from __future__ import annotations

from datetime import date

import pytest

from .judge import judge
from .texts import Row
from .tiny import AS_OF, FIT_FOR_ALL, INSPECTED, TAKE, chain, codes, first, house, plus, record


def test_a_sealed_reel_never_used_is_blank_and_fit_for_all() -> None:
    answer = judge(house(), AS_OF)["R2"]
    assert (answer["verdict"], answer["erasable"], answer["fit"]) == ("blank", "yes", FIT_FOR_ALL)
    assert answer["recording_codes"] == codes("nothing-recorded.")


def test_a_take_with_its_whole_proof_is_clear_and_without_it_keep() -> None:
    proved = first(**chain())
    assert (proved["verdict"], proved["fit"], proved["recording_codes"]) == ("clear", FIT_FOR_ALL, set())
    assert proved["live_kept"]
    bare = first(takes=[TAKE])
    assert (bare["verdict"], bare["erasable"]) == ("keep", "no")
    assert bare["recording_codes"] == codes("not-transferred")


SPOILED = {
    "transfer on the take's own day": ({"transfer_date": "2025-07-01"}, ["not-transferred"]),
    "timed transfer on the take's own day": ({"transfer_date": "2025-07-01T18:30:00Z"}, ["not-transferred"]),
    "timed take, later timed transfer": (
        {"take_date": "2025-07-01T10:15:00Z", "transfer_date": "2025-07-01T12:00:00Z"}, [],
    ),
    "a track not transferred": ({"transfer_tracks": "1-2"}, ["tracks-missing"]),
    "the end not transferred": ({"transfer_end": "99.9999 m"}, ["partly-transferred"]),
    "transfer of other tape, with nothing on it": (
        {"transfer_start": "100.0000 m"}, ["not-transferred", "unlogged-recording?"],
    ),
    "a low rate": ({"transfer_sample_rate_hz": "44100"}, ["format-too-low"]),
    "a low depth": ({"transfer_bit_depth": "16"}, ["format-too-low"]),
    "heard on the day of the transfer": ({"listen_date": "2025-08-01"}, ["not-heard"]),
    "one medium under two spellings": ({"copy_medium": " Drive  RED"}, ["one-medium"]),
    "nothing elsewhere": ({"copy_place": "here"}, ["none-elsewhere"]),
    "a check 365 days old": (
        {"transfer_date": "2025-05-01", "take_date": "2025-04-01", "check_date": "2025-06-01"}, [],
    ),
    "a check 366 days old": (
        {"transfer_date": "2025-05-01", "take_date": "2025-04-01", "check_date": "2025-05-31"},
        ["copy-check-old", "too-few-copies", "one-medium", "none-elsewhere"],
    ),
    "a check on the transfer's day": ({"check_date": "2025-08-01"}, []),
    "a check before the transfer": (
        {"check_date": "2025-07-31"}, ["copy-unchecked", "too-few-copies", "one-medium", "none-elsewhere"],
    ),
    "a stated check": (
        {"check_method": "stated"}, ["copy-only-stated", "too-few-copies", "one-medium", "none-elsewhere"],
    ),
    "a read without a hash": (
        {"check_manifest_sha256": ""}, ["copy-only-stated", "too-few-copies", "one-medium", "none-elsewhere"],
    ),
    "a failed check": (
        {"check_result": "fail"}, ["copy-check-failed", "too-few-copies", "one-medium", "none-elsewhere"],
    ),
    "a project nobody entered": ({"take_project": "ghost"}, ["no-release"]),
    "no project": ({"take_project": ""}, ["no-release"]),
}  # fmt: skip


@pytest.mark.parametrize(("changes", "expected"), SPOILED.values(), ids=SPOILED.keys())
def test_one_changed_link_of_the_chain(changes: dict[str, str], expected: list[str]) -> None:
    answer = first(**chain(**changes))
    assert answer["recording_codes"] == codes(*expected)
    assert answer["erasable"] == ("no" if expected else "yes")


@pytest.mark.parametrize(("day", "expected"), [("2026-05-18", []), ("2026-05-19", ["cooling-off"])])
def test_cooling_off_lasts_fourteen_days(day: str, expected: list[str]) -> None:
    answer = first(**chain(transfer_date=day, listen_date="2026-05-20") | {"copy_checks": checks("2026-05-20")})
    assert answer["recording_codes"] == codes(*expected)


def checks(day: str) -> list[Row]:
    """Both copies read again on a day."""
    return [row | {"date": day} for row in chain()["copy_checks"]]


FAILED = {"transfer": "T1", "copy": "c2", "method": "read", "result": "fail", "manifest_sha256": ""}
HOLD = {"hold": "h1", "reel": "R1", "date": "2025-09-01", "until": "", "reason": "asked for", "by": "Ada Quill"}
ADDED: dict[str, tuple[dict[str, list[Row]], list[str]]] = {
    "a failed check on the day of the pass": (
        {"copy_checks": [FAILED | {"date": "2025-08-03"}]},
        ["copy-check-failed", "too-few-copies", "one-medium", "none-elsewhere"],
    ),
    "a failed check the day before the pass": ({"copy_checks": [FAILED | {"date": "2025-08-02"}]}, []),
    "a stated pass later than the read": (
        {"copy_checks": [FAILED | {"date": "2026-01-01", "method": "stated", "result": "pass"}]}, [],
    ),
    "a punch-in since": ({"passes": [record("60.0000 m", "70.0000 m", "2025-09-01")]}, ["partly-transferred"]),
    "a track recorded over since": (
        {"passes": [record("50.0000 m", "100.0000 m", "2025-09-01", tracks="2")]}, ["tracks-missing"],
    ),
    "a pass elsewhere since, in no take": (
        {"passes": [record("200.0000 m", "210.0000 m", "2025-09-01")]}, ["unlogged-recording?"],
    ),
    "a pass elsewhere since, naming the take": (
        {"passes": [record("200.0000 m", "210.0000 m", "2025-09-01", take="river/1")]}, ["partly-transferred"],
    ),
    "a stray of just ten seconds": ({"passes": [record("100.0000 m", "103.8100 m", "2025-09-01")]}, []),
    "a stray of more": ({"passes": [record("100.0000 m", "103.8101 m", "2025-09-01")]}, ["unlogged-recording?"]),
    "a stray of unknown speed": (
        {"passes": [record("100.0000 m", "101.0000 m", "2025-09-01", speed="")]}, ["unlogged-recording?"],
    ),
    "a stray that touches nothing": (
        {"passes": [record("100.0001 m", "101.0000 m", "2025-09-01")]}, ["unlogged-recording?"],
    ),
    "a second take over the first, before the transfer": (
        {"takes": [TAKE | {"take": "2", "date": "2025-07-02"}]}, ["overwritten."],
    ),
    "a discard of a punched-in take": (
        {
            "passes": [record("60.0000 m", "70.0000 m", "2025-09-01")],
            "decisions": [TAKE | {"date": "2025-09-02", "keep": "discard"}],
        },
        [],
    ),
    "a discard on the day of the punch-in": (
        {
            "passes": [record("60.0000 m", "70.0000 m", "2025-09-01")],
            "decisions": [TAKE | {"date": "2025-09-01", "keep": "discard"}],
        },
        ["partly-transferred"],
    ),
    "a hold": ({"holds": [HOLD]}, ["on-hold"]),
    "a hold run out yesterday": ({"holds": [HOLD | {"until": "2026-05-31"}]}, []),
    "a hold until today": ({"holds": [HOLD | {"until": "2026-06-01"}]}, ["on-hold"]),
    "a hold ended on its own day": (
        {"holds": [HOLD], "hold_ends": [{"hold": "h1", "date": "2025-09-01"}]}, ["on-hold"],
    ),
    "a hold ended the next day": ({"holds": [HOLD], "hold_ends": [{"hold": "h1", "date": "2025-09-02"}]}, []),
    "a voided hold": ({"holds": [HOLD | {"entry": "7"}], "voids": [{"entry": "7", "date": "2026-01-01"}]}, []),
    "sold to somebody": ({"owners": [{"reel": "R1", "date": "2025-09-01", "owner": "client one"}]}, ["no-release"]),
    "sold and released": (
        {
            "owners": [{"reel": "R1", "date": "2025-09-01", "owner": "client one"}],
            "releases": [{"reel": "R1", "project": "", "date": "2025-07-02", "granted_by": "Dee Client"}],
        },
        [],
    ),
    "sold, released on the day of the take": (
        {
            "owners": [{"reel": "R1", "date": "2025-09-01", "owner": "client one"}],
            "releases": [{"reel": "R1", "project": "inn", "date": "2025-07-01", "granted_by": "Dee Client"}],
        },
        ["no-release"],
    ),
    "out and back on one day": (
        {"moves": [{"reel": "R1", "date": "2025-09-01", "kind": kind} for kind in ("out", "back")]}, ["not-here"],
    ),
    "exposed to a stray field": ({"findings": [INSPECTED | {"kind": "stray-field"}]}, ["stray-field?"]),
    "exposed, listened to the day after": (
        {"findings": [INSPECTED | {"kind": "stray-field"}, INSPECTED | {"kind": "listened", "date": "2026-05-02"}]}, [],
    ),
    "wiped since": ({"wipes": [{"reel": "R1", "date": "2025-09-01", "method": "bulk"}]}, ["nothing-recorded."]),
    "wiped on the transfer's day": (
        {"wipes": [{"reel": "R1", "date": "2025-08-01", "method": "bulk"}]}, ["unlogged-recording?"],
    ),
    "wiped on the take's day": ({"wipes": [{"reel": "R1", "date": "2025-07-01", "method": "bulk"}]}, []),
    "recorded locked to a reel with an unproved take": (
        {
            "sets": [{"set": "s", "reel": reel, "date": "2025-07-01"} for reel in ("R1", "R2")],
            "takes": [TAKE | {"reel": "R2", "take": "2"}],
        },
        ["set-not-clear"],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("rows", "expected"), ADDED.values(), ids=ADDED.keys())
def test_one_fact_added_to_the_chain(rows: dict[str, list[Row]], expected: list[str]) -> None:
    assert first(**plus(chain(), **rows))["recording_codes"] == codes(*expected)


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({"keep": "discard"}, []),
        ({"keep": "discard", "by": ""}, ["not-transferred"]),
        ({"keep": "tones", "by": ""}, []),
        ({"keep": "undecided"}, ["not-transferred"]),
        ({"keep": "", "state": "false-start"}, ["not-transferred"]),
    ],
)
def test_what_the_take_itself_says_of_keeping(cells: dict[str, str], expected: list[str]) -> None:
    assert first(takes=[TAKE | cells])["recording_codes"] == codes(*expected)


def test_two_transfers_may_cover_a_take_together() -> None:
    files = chain(transfer_end="75.0000 m")
    for name in ("transfers", "listens", "copies", "copy_checks"):
        files[name] = files[name] + [row | {"transfer": "T2"} for row in files[name]]
    assert first(**files)["recording_codes"] == codes("partly-transferred")
    files["transfers"][1] |= {"start": "75.0000 m", "end": "100.0000 m"}
    assert first(**files)["recording_codes"] == set()
    files["listens"] = files["listens"][:1]
    assert first(**files)["recording_codes"] == codes("not-heard")


def test_a_reel_that_came_used_must_be_heard_or_wiped() -> None:
    rows = house()
    rows["reels.csv"][0]["arrived_as"] = "erased"
    assert judge(rows, AS_OF)["R1"]["recording_codes"] == codes("content-unknown?")
    heard = INSPECTED | {"kind": "listened", "start": "0.0000 m", "end": "299.9999 m"}
    rows["findings.csv"].append(heard)
    assert judge(rows, AS_OF)["R1"]["recording_codes"] == codes("content-unknown?")
    heard["end"] = "300.0000 m"
    answer = judge(rows, AS_OF)["R1"]
    assert answer["recording_codes"] == codes("nothing-recorded.")
    # Its passes before it came are not known: that tells on the better grades alone.
    assert answer["fit"] == {"critical": "unknown", "standard": "unknown", "scratch": "yes"}


@pytest.mark.parametrize(("role", "expected"), [("reference", "reference-tape"), ("master", "no-release")])
def test_what_a_reel_is_for(role: str, expected: str) -> None:
    rows = house(**chain())
    rows["reels.csv"][0]["role"] = role
    assert judge(rows, AS_OF)["R1"]["recording_codes"] == codes(expected)


def test_tape_carries_its_takes_and_holds_to_another_reel() -> None:
    edit = {"reel": "R1", "start": "80.0000 m", "end": "120.0000 m", "to_reel": "R2", "to_at": "10.0000 m"}
    rows = house(takes=[TAKE], holds=[HOLD], edits=[edit | {"date": "2025-10-01"}])
    answers = judge(rows, AS_OF)
    for reel in ("R1", "R2"):  # 50..80 m of the take stay on R1, 80..100 m now lie at 10..30 m of R2
        assert answers[reel]["recording_codes"] == codes("not-transferred", "on-hold")
    # The day of the edit reads the reel as it was before the edit; the day after, as it is.
    moved = {"transfer": "T1", "reel": "R2", "tracks": "1-3", "sample_rate_hz": "48000", "bit_depth": "24"}
    rows["transfers.csv"] = [moved | {"date": "2025-10-02", "start": "10.0000 m", "end": "20.0000 m"}]
    assert ("partly-transferred", "no") in judge(rows, AS_OF)["R2"]["recording_codes"]
    rows["transfers.csv"][0]["date"] = "2025-10-01"
    assert judge(rows, AS_OF)["R2"]["recording_codes"] == codes("not-transferred", "unlogged-recording?", "on-hold")


def test_facts_later_than_the_day_asked_about_are_not_there_and_voids_always_are() -> None:
    rows = house(**chain(take_entry="9"))
    assert judge(rows, date(2025, 7, 15))["R1"]["recording_codes"] == codes("not-transferred")
    assert judge(rows, date(2025, 6, 30))["R1"]["recording_codes"] == codes("nothing-recorded.")
    rows["voids.csv"] = [{"entry": "9", "date": "2026-05-01", "reason": "wrong reel", "by": "Ada Quill"}]
    assert judge(rows, date(2025, 7, 15))["R1"]["recording_codes"] == codes("nothing-recorded.")
