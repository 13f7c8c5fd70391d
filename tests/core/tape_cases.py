"""Each reason about the tape, one unit past its limit and on it."""

from __future__ import annotations

from .builder import Studio, just_after, place
from .cases import Cases

TAPE = Cases("tape")
case = TAPE.case

INCH, FOOT = 254, 3048
SHORTEST = 600 * FOOT
HEAD, TAIL = 25 * FOOT, 450 * INCH
"""Left unused at 15 in/s: 25 ft is more than 15 s (225 in), and 30 s."""
GUARD = 30 * INCH
"""2 s at 15 in/s."""


@case("too-many-passes")
def a_pass_too_many(studio: Studio, fires: bool) -> None:
    studio.play(30 + fires)


@case("too-many-passes")
def a_wind_too_many(studio: Studio, fires: bool) -> None:
    studio.play(29)
    studio.play(10 + fires, "wind")


@case("too-many-passes")
def a_pass_before_it_came_too_many(studio: Studio, fires: bool) -> None:
    studio.first_reel |= {"arrived_as": "recorded", "passes_before": "20"}
    studio.play(10 + fires)


@case("too-many-passes")
def a_machine_wipe_too_many(studio: Studio, fires: bool) -> None:
    studio.play(30)
    studio.wipe("2026-04-01", method="machine" if fires else "bulk")


@case("passes-unknown", "doubt")
def passes_before_it_came_not_known(studio: Studio, fires: bool) -> None:
    studio.first_reel |= {"arrived_as": "erased", "passes_before": "" if fires else "0"}


@case("too-many-reuses")
def wiped_once_too_often(studio: Studio, fires: bool) -> None:
    studio.wipe("2026-02-01")
    if fires:
        studio.wipe("2026-03-01")


@case("high-frequency-loss")
def a_thousandth_of_a_decibel_too_low(studio: Studio, fires: bool) -> None:
    cells = {"reel": "R1", "at": "50 ft", "speed": "15 ips", "machine": "deck one", "track": "2"}
    studio.add("response", **cells, date="2025-01-01", frequency_hz="10000", level_db="0.4")
    studio.add("response", **cells, date="2026-01-01", frequency_hz="10000", level_db="-0.601" if fires else "-0.6")


@case("too-many-splices")
def a_splice_a_tenth_of_a_millimetre_too_early(studio: Studio, fires: bool) -> None:
    # on one side of the splice's guard just the shortest useful stretch, or less; on the other side less anyhow
    splice = HEAD + SHORTEST + GUARD
    studio.first_reel["length"] = place(splice + GUARD + SHORTEST - 2 + TAIL)
    studio.add("splices", reel="R1", date="2025-01-01", at=place(splice - fires))


@case("splice-doubtful")
def a_doubtful_splice(studio: Studio, fires: bool) -> None:
    studio.add("splices", reel="R1", date="2025-01-01", at="1000 ft", state="doubtful" if fires else "sound")


@case("splice-doubtful")
def remade_more_than_an_inch_away(studio: Studio, fires: bool) -> None:
    studio.add("splices", reel="R1", date="2025-01-01", at=place(1000 * FOOT), state="failed")
    studio.add("splices", reel="R1", date="2025-02-01", at=place(1000 * FOOT + INCH + fires), state="sound")


@case("damaged")
def a_crease(studio: Studio, fires: bool) -> None:
    studio.find("crease", "1" if fires else "0", "2026-01-01", start="10 ft", end="11 ft")


@case("damaged")
def found_whole_before_the_end_of_the_fault(studio: Studio, fires: bool) -> None:
    found = "2026-01-01T10:00:00Z"
    studio.find("dropout", "1", found, start="10 ft", end="11 ft")
    studio.find("dropout", "0", found if fires else just_after(found), start="10 ft", end="11 ft")


@case("not-inspected", "doubt")
def inspected_a_day_too_long_ago(studio: Studio, fires: bool) -> None:
    studio.play(1)
    studio.inspected["date"] = "2026-03-02" if fires else "2026-03-03"


@case("not-inspected", "doubt")
def a_watched_binder_inspected_a_day_too_long_ago(studio: Studio, fires: bool) -> None:
    studio.formulation["binder_watch"] = "yes"
    studio.inspected["date"] = "2025-05-31" if fires else "2025-06-01"


@case("not-inspected", "doubt")
def used_and_never_inspected(studio: Studio, fires: bool) -> None:
    # sealed tape that never passed a head needs no inspection
    studio.inspected["kind"] = "listened"
    if fires:
        studio.play(1, "wind")


@case("wiped-not-heard", "doubt")
def listened_to_at_the_very_moment_of_the_wipe(studio: Studio, fires: bool) -> None:
    wiped = "2026-03-01T10:00:00Z"
    studio.wipe(wiped)
    studio.find("listened", "0", wiped if fires else just_after(wiped))


@case("batch-suspect", "doubt")
def inspected_at_the_very_moment_its_batch_was_found_out(studio: Studio, fires: bool) -> None:
    studio.first_reel["batch"] = "b1"
    studio.reel("R2", batch="b1")
    found = "2026-04-01T10:00:00Z"
    studio.find("sticky", "1", found, "R2")
    studio.inspected["date"] = found if fires else just_after(found)


@case("batch-suspect", "doubt")
def of_the_batch_of_a_mouldy_reel(studio: Studio, fires: bool) -> None:
    studio.first_reel["batch"] = "b1"
    studio.reel("R2", batch="b1" if fires else "b2")
    studio.find("mould", "1", "2026-05-20", "R2")


@case("sticky")
def sticky(studio: Studio, fires: bool) -> None:
    studio.find("sticky", "1" if fires else "0", "2026-01-01")


@case("shedding")
def shedding(studio: Studio, fires: bool) -> None:
    studio.find("shedding", "1" if fires else "0", "2026-01-01")


@case("mould")
def mould(studio: Studio, fires: bool) -> None:
    studio.find("mould", "1" if fires else "0", "2026-01-01")


@case("vinegar")
def vinegar_on_acetate(studio: Studio, fires: bool) -> None:
    studio.formulation["base"] = "acetate"
    studio.find("vinegar", "1" if fires else "0", "2026-01-01")


@case("vinegar")
def vinegar_on_a_base_nobody_knows(studio: Studio, fires: bool) -> None:
    studio.formulation["base"] = "" if fires else "polyester"
    studio.find("vinegar", "1", "2026-01-01")


@case("too-short")
def a_tenth_of_a_millimetre_too_short(studio: Studio, fires: bool) -> None:
    studio.first_reel["length"] = place(HEAD + SHORTEST + TAIL - fires)


@case("retired")
def retired(studio: Studio, fires: bool) -> None:
    studio.add("retirements", reel="R1", date="2026-06-01" if fires else "2026-06-02", reason="worn")


@case("void-loosened", "note")
def a_crease_was_voided(studio: Studio, fires: bool) -> None:
    studio.void(studio.find("crease", "1" if fires else "0", "2026-01-01"))
