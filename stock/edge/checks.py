"""What must hold between the cells of one fact, and the bounds of numbers: checked once, however the fact came."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache, partial
from itertools import pairwise

from stock.core.facts import Stretch
from stock.core.kinds import BY_NAME, Cell, Kind, columns
from stock.core.places import AtLength, Place
from stock.core.tracks import MOST_TRACKS
from stock.edge.cells import Parsed, spell_place, spell_values
from stock.edge.problems import Problem, shown

_MANY = 1_000_000
_DAYS = 36_525

_BOUNDS: dict[tuple[str, str], tuple[int, int]] = {
    ("formulation", "level_nwb_m"): (1, _MANY * 1000),
    ("stock-item", "length"): (1, 10**10),
    ("machine", "tracks"): (1, MOST_TRACKS),
    ("reel", "tracks"): (1, MOST_TRACKS),
    ("reel", "length"): (0, 10**10),
    ("reel", "passes_before"): (0, _MANY),
    ("length", "length"): (0, 10**10),
    ("pass", "count"): (1, _MANY),
    ("finding", "severity"): (0, 3),
    ("response", "track"): (1, MOST_TRACKS),
    ("response", "level_db"): (-200_000, 200_000),
    ("take", "level_nwb_m"): (1, _MANY * 1000),
    ("stripe", "track"): (1, MOST_TRACKS),
    ("transfer", "bit_depth"): (1, 64),
    ("copy-file", "track"): (1, MOST_TRACKS),
    ("project", "tracks"): (1, MOST_TRACKS),
    ("project", "titles"): (0, _MANY),
    ("project", "takes_low"): (0, _MANY),
    ("project", "takes_likely"): (0, _MANY),
    ("project", "takes_high"): (0, _MANY),
    ("project", "cool_days"): (0, _DAYS),
    ("project", "days_back"): (0, _DAYS),
    ("project", "passes_per_take"): (0, _MANY * 1000),
    ("quote", "from_quantity"): (1, _MANY),
    ("quote", "minimum"): (1, _MANY),
    ("quote", "case"): (1, _MANY),
    ("quote", "lead_low"): (0, _DAYS),
    ("quote", "lead_likely"): (0, _DAYS),
    ("quote", "lead_high"): (0, _DAYS),
    ("order", "quantity"): (1, _MANY),
    ("receipt", "quantity"): (1, _MANY),
}
"""Stored values, both ends allowed."""

_ASCENDING: dict[str, tuple[tuple[str, ...], ...]] = {
    "project": (
        ("from", "to"),
        ("length_low", "length_likely", "length_high"),
        ("takes_low", "takes_likely", "takes_high"),
    ),
    "quote": (("lead_low", "lead_likely", "lead_high"),),
}


_Places = tuple[Stretch, ...] | None
Check = Callable[[Parsed, Place | None, Place | None, _Places], Sequence[Problem]]
"""One part of `check`."""


def check(
    kind: Kind,
    values: Parsed,
    start: Place | None,
    end: Place | None,
    *,
    on_tape: tuple[Stretch, ...] | None = None,
) -> list[Problem]:
    """All that is wrong with a fact whose cells can each be read.

    values: one for each of `columns(kind)`; money as an amount or in minor units. start: the place of a point as well.
    on_tape: the stretches given for it, which then stand for start and end. Whether start comes before end, and whether
    names refer to anything, cannot be told here.
    """
    problems: list[Problem] = []
    for checking in checks_of(kind.name):
        problems += checking(values, start, end, on_tape)
    return problems


@cache
def checks_of(name: str) -> tuple[Check, ...]:
    """What `check` does for one kind, each part by itself."""
    # by name: hashing a kind, fields and all, costs more than the checks
    kind = BY_NAME[name]
    at = {column.name: index for index, column in enumerate(columns(kind))}
    checks: list[Check] = []
    bounds = [
        (at[column], column, kind.field(column).cell, low, high)
        for (of_kind, column), (low, high) in _BOUNDS.items()
        if of_kind == name
    ]
    if bounds:
        checks.append(partial(_bounds, bounds))
    for group in _ASCENDING.get(kind.name, ()):
        cell = kind.field(group[0]).cell
        checks.append(partial(_ascending, group, cell, [at[column] for column in group]))
    amounts = [field.name for field in kind.fields if field.cell == "money"]
    if amounts:
        checks.append(partial(_has_currency, [at[column] for column in amounts], at["currency"]))
    if kind.placed == "span":
        state = at.get("state") if kind.name == "take" else None
        checks.append(partial(_given_span, state) if kind.field("start").required else _span)
    elif kind.placed == "point":
        checks.append(partial(_point, kind.field("at").required))
    if kind.placed in ("span", "point"):
        checks.append(partial(_counter, kind.placed, at.get("speed")))
    if kind.name == "wipe":
        checks.append(partial(_bulk, at["method"]))
    return tuple(checks)


def _bounds(
    bounds: list[tuple[int, str, Cell, int, int]],
    values: Parsed,
    start: Place | None,
    end: Place | None,
    on_tape: _Places,
) -> Sequence[Problem]:
    problems = []
    for index, column, cell, low, high in bounds:
        value = values[index]
        if isinstance(value, int) and not low <= value <= high:
            given, least, most = (spell_values(cell, (each,)) for each in (value, low, high))
            problems.append(_problem(column, given, "is out of bounds", f"at least {least} and at most {most}"))
    return problems


def _ascending(
    group: tuple[str, ...], cell: Cell, indexes: list[int], values: Parsed, *_: Place | _Places
) -> Sequence[Problem]:
    given = [(column, values[index]) for column, index in zip(group, indexes, strict=True)]
    stated = [(column, value) for column, value in given if isinstance(value, int)]
    problems = []
    for (lower, least), (column, value) in pairwise(stated):
        if value < least:
            expected = f"at least the {spell_values(cell, (least,))} of `{lower}`"
            problems.append(_problem(column, spell_values(cell, (value,)), "is too small", expected))
    return problems


def _has_currency(indexes: list[int], currency: int, values: Parsed, *_: Place | _Places) -> Sequence[Problem]:
    if values[currency] is None and any(values[index] is not None for index in indexes):
        return (_problem("currency", "", "is given", "the currency of the amount"),)
    return ()


def _span(values: Parsed, start: Place | None, end: Place | None, on_tape: _Places) -> Sequence[Problem]:
    """Both ends or neither: one alone could mean the rest of the reel, or a slip."""
    if on_tape is not None or (start is None) == (end is None):
        return ()
    return (_problem("start" if start is None else "end", "", "is given", "both start and end, or neither"),)


def _given_span(
    state: int | None, values: Parsed, start: Place | None, end: Place | None, on_tape: _Places
) -> Sequence[Problem]:
    problems: list[Problem] = []
    if on_tape is None:
        running = state is not None and values[state] == "running"
        if start is None:
            problems.append(_problem("start", "", "is given", "where it begins"))
        if end is None and not running:
            unless = " (only a running take has none)" if state is not None else ""
            problems.append(_problem("end", "", "is given", f"where it ends{unless}"))
    return problems


def _point(
    required: bool, values: Parsed, start: Place | None, end: Place | None, on_tape: _Places
) -> Sequence[Problem]:
    if on_tape is None:
        return (_problem("at", "", "is given", "where it lies"),) if required and start is None else ()
    if any(stretch.lo != stretch.hi for stretch in on_tape):
        return (_problem("on_tape", "", "has a length", "a place on tape"),)
    return ()


def _counter(
    placed: str, speed: int | None, values: Parsed, start: Place | None, end: Place | None, on_tape: _Places
) -> Sequence[Problem]:
    """A counter time or a timecode is a place only with the speed it runs at."""
    if on_tape is not None or (speed is not None and values[speed] is not None):
        return ()
    ends = (("at" if placed == "point" else "start", start), ("end", end))
    timed = [
        (column, spell_place(place)) for column, place in ends if place is not None and not isinstance(place, AtLength)
    ]
    if speed is None:
        return [_problem(column, at, "is a time", "a length from the head, such as `300 ft`") for column, at in timed]
    return [_problem("speed", "", "is given", f"the speed at which {at} is meant") for _, at in timed[:1]]


def _bulk(method: int, values: Parsed, start: Place | None, end: Place | None, on_tape: _Places) -> Sequence[Problem]:
    if values[method] != "bulk" or on_tape is not None:
        return ()
    return [
        _problem(column, spell_place(place), "is given for a bulk wipe, which is of the whole reel", "no place")
        for column, place in (("start", start), ("end", end))
        if place is not None
    ]


def _problem(column: str, value: str, why: str, expected: str) -> Problem:
    return Problem(column, value, expected, f"{shown(value)} {why}; {expected} was expected")
