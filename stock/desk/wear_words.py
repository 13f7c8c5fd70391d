"""Measured wear in plain sentences, the same for the command line and the screens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stock.core.measure import Speed, time_of
from stock.core.moments import date_of
from stock.core.rules import GRADES
from stock.core.words import clock, feet, speed_words
from stock.edge.words import money_words

if TYPE_CHECKING:
    from stock.core.response import Series
    from stock.core.trimming import Trim
    from stock.core.verdict import Advice
    from stock.desk.measuring import Measured, Until, Worth

CHECK_HEADS = ("tone", "place", "track", "checks", "first", "newest", "fall", "where and how")
_FEW = 10
_MINUS = "\u2212"


def passes_of(tenths: int) -> str:
    """Tenths of a pass as a number of passes, `12` or `12.5`."""
    return str(tenths // 10) if tenths % 10 == 0 else f"{tenths / 10:.1f}"


def tone_of(frequency_hz: int) -> str:
    """A tone's frequency: `100 Hz`, `10 kHz`, `12.5 kHz`."""
    return f"{frequency_hz} Hz" if frequency_hz < 1000 else f"{frequency_hz / 1000:g} kHz"


def level_of(thousandths: int) -> str:
    """A level in dB to one place, with its sign."""
    shown = f"{abs(thousandths) / 1000:.1f}"
    sign = "" if float(shown) == 0 else "+" if thousandths > 0 else _MINUS
    return sign + shown


def check_cells(measured: Measured, series: Series) -> tuple[str, ...]:
    """One series of checks as the cells of a table under `CHECK_HEADS`."""
    first, newest = series.readings[0], series.readings[-1]
    how = [series.machine or "machine not stated"]
    how += [speed_words(Speed(series.speed))] if series.speed else []
    how += [f"{series.tone} tone"] if series.tone else []
    return (
        tone_of(series.frequency_hz),
        feet(series.place),
        "" if series.track is None else str(series.track),
        str(len(series.readings)),
        level_of(first.level_db),
        level_of(newest.level_db),
        level_of(series.fall_db).removeprefix("+") if len(series.readings) > 1 else "",
        ", ".join(how),
    )


def worn_words(measured: Measured) -> list[str]:
    """Where it is worn most, and where the next take would be least worn."""
    said = []
    if measured.worst is None:
        said.append("no pass is recorded on it")
    else:
        span = measured.worst
        said.append(f"most: {passes_of(span.tenths)}, from {feet(span.lo)} to {feet(span.hi)}")
    if measured.least is not None:
        span = measured.least
        size = time_of(span.hi - span.lo, measured.advice.view.house.rules.number("usual_speed"))
        least = f"{feet(span.lo)} on: {passes_of(span.tenths)} at most"
        said.append(f"a take of up to {clock(size)} would be least worn from {least}")
    return said


def life_words(measured: Measured) -> list[str]:
    """Passes left as ranges, each with its dates, and the house's limit on passes beside them."""
    life = measured.life
    said = []
    if life.basis == "none":
        said.append(f"No passes left can be told: {life.why}. The house's limit on passes stands alone.")
    else:
        assert life.loss is not None and measured.top is not None
        track = f"track {measured.top.track}" if measured.top.track is not None else "the track checked"
        loss = f"{life.loss.low:.3f} to {life.loss.high:.3f} dB a pass"
        said.append(f"10 kHz falls by {loss} on {track} (a range of 80\u00a0%), {life.why}.")
    rules = measured.advice.view.house.rules
    for grade in GRADES:
        by_limit = measured.left_by_limit[grade] or "none"
        limit = f"{by_limit} by the house's limit of {rules.number(f'passes_{grade}')}"
        left = life.left.get(grade)
        if left is None:
            said.append(f"{grade}: {limit}.")
        elif left.high == 0:
            said.append(f"{grade}: none left by its loss; {limit}.")
        else:
            room = f"{left.low} to {left.high}" if left.high is not None else f"{left.low} or more"
            said.append(f"{grade}: {room} passes left by its loss{_dates(measured.until[grade])}; {limit}.")
    if measured.rate > 0:
        said.append(f"It makes about {365 * measured.rate:.0f} passes a year now.")
    return said


def _dates(until: Until) -> str:
    if until.first is None:
        return ""
    first = f"{date_of(until.first):%Y-%m}"
    last = f"{date_of(until.last):%Y-%m}" if until.last is not None else "later"
    return f", {first} to {last} at the present rate" if first != last else f", {first} at the present rate"


def shape_words(measured: Measured) -> list[str]:
    """What the shape of a loss points to, and what to rule out first."""
    from stock.wear.shape import ADVICE

    shape = measured.shape
    if shape is None:
        return ["No two checks of one place, track and machine to hold against each other."]
    falls = ", ".join(
        f"{tone_of(tone)} {level_of(round(1000 * fall))}" for tone, fall in sorted(measured.falls.items())
    )
    said = [f"Fallen since the first check, dB: {falls.replace('+', '')}."]
    if not shape.lost:
        return [*said, "That is no loss beyond what a reading may be off."]
    if shape.cause == "cannot tell":
        said.append(f"The cause cannot be told: {shape.why}.")
    else:
        named = {
            "contact": f"contact with the head: as {shape.spacing_um:.1f} \u00b5m of spacing would",
            "azimuth": "azimuth: the gap leans against the recorded one",
            "flat": "a change of level, the same at every tone",
        }
        said.append(f"The shape is that of {named[shape.cause]}.")
    said += [f"{number}. {step}" for number, step in enumerate(ADVICE[shape.cause], 1)]
    return said


def trim_words(measured: Measured) -> list[str]:
    """What cutting would give."""
    said = [cut_words(measured.advice, trim, worth) for trim, worth in measured.trims]
    return said or ["Cutting gains nothing: no fault on it is local, or it is fit all along."]


def cut_words(advice: Advice, trim: Trim, worth: Worth) -> str:
    """What one cut would give, in a sentence."""
    view = advice.view
    speed = view.house.rules.number("usual_speed")
    if trim.lo == 0:
        where = f"Cut {feet(trim.hi)} off the head"
    elif trim.hi == view.length:
        where = f"Cut {feet(trim.hi - trim.lo)} off the tail"
    else:
        where = f"Cut out {feet(trim.lo)} to {feet(trim.hi)}"
    grades = " and ".join(trim.grades) if len(trim.grades) < 3 else "every grade"
    gain = f"it is fit for {grades} again" if trim.regained else f"it is fit for {grades} from end to end"
    left = f"{clock(time_of(trim.fit_left, speed))} usable at {speed_words(Speed(speed))}"
    money = ""
    if worth.units is not None and worth.price is not None and worth.currency is not None:
        money = f" ({money_words(worth.units, worth.currency)} of the {money_words(worth.price, worth.currency)} paid)"
    said = f"{where}: {gain}, {left}, {worth.share / 10:.0f} % of a new reel{money}."
    return said if trim.free else f"{said} Not yet: what lies there may not go."


def lasting_words(measured: Measured) -> list[str]:
    """How the reels of its formulation last, and batches that fail early."""
    from stock.wear.survival import median

    lasting = measured.lasting
    if lasting is None:
        return ["Being gathered \u2026"] if measured.formulation else ["Its formulation is not known."]
    retired = sum(each.retired for each in lasting.lived)
    said = [f"Of {len(lasting.lived)} reels of {lasting.formulation}, {retired} are retired."]
    half = median(lasting.steps)
    if half is not None:
        step = next(step for step in lasting.steps if step.passes == half)
        few = f"; only {step.at_risk} had made so many" if step.at_risk < _FEW else ""
        said.append(f"Half are retired by {half:g} passes{few}.")
    elif lasting.steps:
        last = lasting.steps[-1]
        said.append(
            f"{last.share:.0%} are still in use after {last.passes:g} passes ({last.low:.0%} to {last.high:.0%})."
        )
    if lasting.left_out:
        said.append(f"{lasting.left_out} more are left out: nobody knows the passes they came with.")
    said += [
        f"Batch {early.batch} fails early: {early.retired} of its {early.reels} reels are retired. Look at the others."
        for early in lasting.early
    ]
    return said
