"""Each reason about the recording, one unit past its limit and on it."""

from __future__ import annotations

from datetime import datetime

from stock.core.moments import instant

from .builder import RECORDED, Studio, just_after, place
from .cases import Cases

RECORDING = Cases("recording")
case = RECORDING.case
FOOT = 3048


@case("not-transferred")
def transferred_at_the_very_moment_it_was_recorded(studio: Studio, fires: bool) -> None:
    studio.proved_take().transfer["date"] = RECORDED if fires else just_after(RECORDED)


@case("partly-transferred")
def a_tenth_of_a_millimetre_is_not_in_the_transfer(studio: Studio, fires: bool) -> None:
    studio.proved_take().transfer["end"] = place(200 * FOOT - fires)


@case("tracks-missing")
def one_track_is_not_in_the_transfer(studio: Studio, fires: bool) -> None:
    studio.proved_take().transfer["tracks"] = "1-3" if fires else "1-4"


@case("format-too-low")
def a_hertz_below_the_house_minimum(studio: Studio, fires: bool) -> None:
    # IASA-TC 03 (10): at least 48 kHz and 24 bit
    studio.proved_take().transfer["sample_rate_hz"] = "47999" if fires else "48000"


@case("format-too-low")
def a_bit_below_the_house_minimum(studio: Studio, fires: bool) -> None:
    # IASA-TC 03 (10): at least 48 kHz and 24 bit
    studio.proved_take().transfer["bit_depth"] = "23" if fires else "24"


@case("not-heard")
def heard_at_the_very_moment_of_the_transfer(studio: Studio, fires: bool) -> None:
    chain = studio.proved_take()
    chain.listen["date"] = chain.transfer["date"] if fires else just_after(chain.transfer["date"])


@case("cooling-off")
def a_day_too_young(studio: Studio, fires: bool) -> None:
    chain = studio.proved_take()
    chain.transfer["date"] = "2026-05-19" if fires else "2026-05-18"
    for row in (chain.listen, *chain.checks):
        row["date"] = "2026-05-21"


@case("too-few-copies")
def one_good_copy(studio: Studio, fires: bool) -> None:
    studio.transfer()
    studio.listen()
    studio.take()
    for copy, medium in (("c1", "drive red"), ("c2", "drive blue"))[fires:]:
        studio.copy(copy, medium, "elsewhere")
        studio.check(copy)


@case("one-medium")
def one_medium_spelled_twice(studio: Studio, fires: bool) -> None:
    studio.proved_take().copies[1]["medium"] = " Drive  RED" if fires else "drive red 2"


@case("none-elsewhere")
def every_copy_here(studio: Studio, fires: bool) -> None:
    studio.proved_take().copies[1]["place"] = "here" if fires else "elsewhere"


@case("copy-check-failed")
def passed_at_the_very_moment_it_failed(studio: Studio, fires: bool) -> None:
    failed = studio.proved_take().checks[0]["date"]
    studio.check("c1", failed, result="fail")
    if not fires:
        studio.check("c1", just_after(failed))


@case("copy-check-failed", "note")
def a_third_copy_failed_beside_two_good_ones(studio: Studio, fires: bool) -> None:
    studio.proved_take()
    studio.copy("c3", "cartridge four", "here")
    studio.check("c3", result="fail" if fires else "pass")


@case("copy-only-stated")
def the_passed_check_was_a_statement(studio: Studio, fires: bool) -> None:
    studio.proved_take().checks[0]["method"] = "stated" if fires else "read"


@case("copy-only-stated")
def the_passed_check_left_no_hash_of_the_manifest(studio: Studio, fires: bool) -> None:
    if fires:
        studio.proved_take().checks[0]["manifest_sha256"] = ""
    else:
        studio.proved_take()


@case("copy-check-old")
def read_a_day_too_long_ago(studio: Studio, fires: bool) -> None:
    chain = studio.proved_take()
    chain.take["date"] = "2025-05-01"
    chain.transfer["date"] = "2025-05-02"
    chain.checks[0]["date"] = "2025-05-31" if fires else "2025-06-01"


@case("copy-unchecked")
def checked_before_the_transfer(studio: Studio, fires: bool) -> None:
    chain = studio.proved_take()
    chain.checks[0]["date"] = chain.transfer["date"]
    if fires:
        chain.transfer["date"] = just_after(chain.transfer["date"])


@case("unlogged-recording", "doubt")
def a_stray_a_tenth_of_a_millisecond_too_long(studio: Studio, fires: bool) -> None:
    # 30 in/s: 0.1 ms is the first such step that moves the tape by more than half of a tenth of a millimetre
    studio.take("1:00", "2:00", speed="30 ips", keep="discard")
    studio.record("2:00", "2:10.0001" if fires else "2:10", speed="30 ips")


@case("unlogged-recording", "doubt")
def a_stray_a_tenth_of_a_millimetre_from_its_take(studio: Studio, fires: bool) -> None:
    studio.take(keep="discard")
    studio.record(place(200 * FOOT + fires), "205 ft")


@case("unlogged-recording", "doubt")
def a_stray_at_no_stated_speed(studio: Studio, fires: bool) -> None:
    studio.take(keep="discard")
    studio.record("200 ft", "205 ft", speed="" if fires else "15 ips")


@case("unlogged-recording", "doubt")
def a_transfer_at_the_wipe_of_what_nobody_entered(studio: Studio, fires: bool) -> None:
    # the recording it was made of may have been made after the wipe, never before
    transfer = studio.transfer()
    studio.wipe(transfer["date"] if fires else just_after(transfer["date"]))


@case("on-hold")
def the_last_day_of_a_hold(studio: Studio, fires: bool) -> None:
    last = "2026-06-01" if fires else "2026-05-31"
    studio.add("holds", hold="H1", reel="R1", date="2026-01-01", until=last, reason="a court asks")


@case("on-hold")
def ended_at_the_very_moment_it_began(studio: Studio, fires: bool) -> None:
    began = "2026-01-01T10:00:00Z"
    studio.add("holds", hold="H1", reel="R1", date=began, reason="a court asks")
    studio.add("hold_ends", hold="H1", date=began if fires else just_after(began))


@case("no-release")
def released_at_the_very_moment_it_was_recorded(studio: Studio, fires: bool) -> None:
    studio.proved_take()
    studio.project["release_needed"] = "yes"
    granted = RECORDED if fires else just_after(RECORDED)
    studio.add("releases", reel="R1", project="inn", date=granted, granted_by="Dee Client")


@case("no-release")
def a_take_on_tape_that_is_not_the_houses(studio: Studio, fires: bool) -> None:
    studio.proved_take()
    studio.first_reel["owner"] = "" if fires else " House "


@case("no-release")
def a_recording_in_no_take_on_tape_that_is_not_the_houses(studio: Studio, fires: bool) -> None:
    studio.record("100 ft", "200 ft")
    studio.first_reel["owner"] = "client one"
    granted = RECORDED if fires else just_after(RECORDED)
    studio.add("releases", reel="R1", date=granted, granted_by="Dee Client")


@case("reference-tape")
def a_reference_tape(studio: Studio, fires: bool) -> None:
    studio.first_reel["role"] = "reference" if fires else "master"


@case("not-here")
def back_at_the_very_moment_it_went_out(studio: Studio, fires: bool) -> None:
    out = "2026-03-01T10:00:00Z"
    studio.add("moves", reel="R1", date=out, kind="out")
    studio.add("moves", reel="R1", date=out if fires else just_after(out), kind="back")


@case("content-unknown", "doubt")
def a_tenth_of_a_millimetre_not_listened_to(studio: Studio, fires: bool) -> None:
    studio.first_reel["arrived_as"] = "erased"
    studio.find("listened", "0", "2026-01-01", start="0 ft", end=place(2500 * FOOT - fires))


@case("content-unknown", "doubt")
def one_track_not_listened_to(studio: Studio, fires: bool) -> None:
    studio.first_reel["arrived_as"] = "unknown"
    studio.find("listened", "0", "2026-01-01", tracks="1-3" if fires else "1-4")


@case("stray-field", "doubt")
def listened_to_at_the_very_moment_of_exposure(studio: Studio, fires: bool) -> None:
    exposed = "2026-03-01T10:00:00Z"
    studio.find("stray-field", "1", exposed, start="10 ft", end="20 ft")
    studio.find("listened", "0", exposed if fires else just_after(exposed))


@case("set-not-clear")
def wiped_at_the_very_moment_it_was_locked_to_a_reel_not_proved(studio: Studio, fires: bool) -> None:
    studio.reel("R2")
    studio.take(reel="R2")
    for reel in ("R1", "R2"):
        studio.add("sets", set="S1", reel=reel, date=RECORDED)
    studio.wipe(RECORDED if fires else just_after(RECORDED))


@case("set-not-clear")
def locked_to_a_reel_with_a_take_not_transferred(studio: Studio, fires: bool) -> None:
    studio.reel("R2")
    studio.take(reel="R2", keep="undecided" if fires else "discard")
    for reel in ("R1", "R2"):
        studio.add("sets", set="S1", reel=reel)


@case("wipe-unproved", "note")
def wiped_after_the_database_was_made(studio: Studio, fires: bool) -> None:
    wiped = "2026-01-01T10:00:00Z"
    studio.wipe(wiped)
    studio.made_us = instant(datetime.fromisoformat(wiped)) - fires


@case("overwritten", "note")
def a_take_over_a_tenth_of_a_millimetre_of_another(studio: Studio, fires: bool) -> None:
    studio.take()
    studio.take(place(200 * FOOT - fires), "300 ft", just_after(RECORDED), take="2")


@case("overwritten", "note")
def a_take_over_one_track_of_another(studio: Studio, fires: bool) -> None:
    studio.take(tracks="1-2")
    studio.take(when=just_after(RECORDED), take="2", tracks="2-3" if fires else "3-4")


@case("nothing-recorded", "note")
def wiped_after_the_very_moment_it_was_recorded(studio: Studio, fires: bool) -> None:
    studio.take(keep="discard")
    studio.wipe(just_after(RECORDED) if fires else RECORDED)


@case("worn-out", "note")
def worn_for_every_grade_with_a_take_on_it(studio: Studio, fires: bool) -> None:
    studio.take("0 ft", "2500 ft")
    studio.play(400 if fires else 399)


@case("void-loosened", "note")
def a_hold_was_voided(studio: Studio, fires: bool) -> None:
    last = "2026-06-01" if fires else "2026-05-31"
    studio.void(studio.add("holds", hold="H1", reel="R1", date="2026-01-01", until=last, reason="a court asks"))
