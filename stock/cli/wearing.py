"""`wear`: what is measured of one reel, how long it will last, and what cutting would give."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from stock.cli.answers import day_of, in_feet
from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, table, width, wrapped
from stock.cli.settings import Settings
from stock.core.moments import date_of
from stock.core.rules import GRADES, Grade

if TYPE_CHECKING:
    from stock.core.response import Reading, Series
    from stock.core.trimming import Trim
    from stock.desk.measuring import Lasting, Measured, Worth

_LABEL = 12


@house_command("wear", dated=True, has_json=True)
@click.argument("reel")
@click.pass_obj
def wear(settings: Settings, reel: str) -> None:
    """Measured wear of one reel: response, passes left before each grade's limit, what a loss points to, trimming, and
    how the reels of its formulation last."""
    from stock.desk.measuring import measure

    with settings.asking() as desk:
        measured = measure(desk, reel.strip())
    if settings.as_json:
        say_json(_answer(measured))
        return
    for line in page(measured, width()):
        say(line)


def page(measured: Measured, columns: int) -> Iterator[str]:
    """Everything measured, in lines."""
    from stock.desk.wear_words import (
        CHECK_HEADS,
        check_cells,
        lasting_words,
        life_words,
        shape_words,
        trim_words,
        worn_words,
    )

    advice = measured.advice
    yield f"{advice.reel}  measured wear, as of {day_of(advice.view.house.as_of)}"
    for words in worn_words(measured):
        yield from wrapped(words, columns, f"{'passes':{_LABEL}}")
    yield ""
    if measured.series:
        yield from table(CHECK_HEADS, [check_cells(measured, series) for series in measured.series], columns)
        yield ""
    for label, said in (
        ("life", life_words(measured)),
        ("loss", shape_words(measured)),
        ("cutting", trim_words(measured)),
        ("others", lasting_words(measured)),
    ):
        for number, words in enumerate(said):
            yield from wrapped(words, columns, f"{'' if number else label:{_LABEL}}")


def _answer(measured: Measured) -> dict[str, Any]:
    from stock.wear.shape import ADVICE

    advice, shape = measured.advice, measured.shape
    return {
        "as_of": day_of(advice.view.house.as_of),
        "reel": advice.reel,
        "worst": _span_json(measured.worst),
        "least_worn": _span_json(measured.least),
        "response": [_series_json(series) for series in measured.series],
        "limits_db": dict(measured.limits),
        "life": _life_json(measured),
        "shape": None
        if shape is None
        else {
            "cause": shape.cause,
            "why": shape.why,
            "spacing_um": round(shape.spacing_um, 2),
            "falls_db": {str(tone): fall for tone, fall in measured.falls.items()},
            "advice": list(ADVICE[shape.cause]),
        },
        "trimming": [trim_json(trim, worth) for trim, worth in measured.trims],
        "survival": None if measured.lasting is None else _lasting_json(measured.lasting),
    }


def _span_json(span: Any) -> dict[str, Any] | None:
    if span is None:
        return None
    return {"start_ft": in_feet(span.lo), "end_ft": in_feet(span.hi), "passes": span.tenths / 10}


def _day(day: int | None) -> str | None:
    return None if day is None else date_of(day).isoformat()


def _reading_json(reading: Reading) -> dict[str, Any]:
    return {
        "day": _day(reading.day),
        "passes": reading.passes / 10,
        "level_db": reading.level_db / 1000,
        "entry": reading.entry,
    }


def _series_json(series: Series) -> dict[str, Any]:
    return {
        "frequency_hz": series.frequency_hz,
        "at_ft": in_feet(series.place),
        "machine": series.machine,
        "track": series.track,
        "tone": series.tone,
        "fall_db": series.fall_db / 1000 if len(series.readings) > 1 else None,
        "readings": [_reading_json(reading) for reading in series.readings],
    }


def _life_json(measured: Measured) -> dict[str, Any]:
    life = measured.life

    def left(grade: Grade) -> dict[str, Any] | None:
        if grade not in life.left:
            return None
        found, until = life.left[grade], measured.until[grade]
        return {
            "low": found.low,
            "likely": found.likely,
            "high": found.high,
            "from": _day(until.first),
            "until": _day(until.last),
        }

    return {
        "basis": life.basis,
        "why": life.why,
        "loss_db_per_pass": None
        if life.loss is None
        else {key: round(getattr(life.loss, key), 6) for key in ("low", "value", "high")},
        "passes_left": {grade: left(grade) for grade in GRADES},
        "passes_left_by_limit": dict(measured.left_by_limit),
        "passes_a_year": round(365 * measured.rate, 1),
    }


def trim_json(trim: Trim, worth: Worth) -> dict[str, Any]:
    """One cut that would help."""
    from stock.edge.words import money_words

    priced = worth.units is not None and worth.currency is not None
    return {
        "start_ft": in_feet(trim.lo),
        "end_ft": in_feet(trim.hi),
        "grades": list(trim.grades),
        "regained": trim.regained,
        "left_ft": in_feet(trim.left),
        "fit_left_ft": in_feet(trim.fit_left),
        "may_go": trim.free,
        "share_of_new": worth.share / 1000,
        "worth": money_words(worth.units or 0, worth.currency or "") if priced else None,
    }


def _lasting_json(lasting: Lasting) -> dict[str, Any]:
    from stock.wear.survival import median

    return {
        "formulation": lasting.formulation,
        "reels": len(lasting.lived),
        "retired": sum(each.retired for each in lasting.lived),
        "left_out": lasting.left_out,
        "median_passes": median(lasting.steps),
        "steps": [
            {
                "passes": step.passes,
                "at_risk": step.at_risk,
                "retired": step.retired,
                "share": round(step.share, 4),
                "low": round(step.low, 4),
                "high": round(step.high, 4),
            }
            for step in lasting.steps
        ],
        "early_batches": [
            {"batch": early.batch, "reels": early.reels, "retired": early.retired, "chance": round(early.chance, 4)}
            for early in lasting.early
        ],
    }
