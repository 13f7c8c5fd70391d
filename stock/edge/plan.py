"""How the cells of one kind's row become a fact: which columns a file may have, and what each is read into."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache, partial
from itertools import chain
from typing import Any, NamedTuple

from stock.core.facts import Entered, Stretch
from stock.core.kinds import BY_NAME, Field, Kind, columns
from stock.core.places import Place
from stock.edge.cells import CellError, Context, minor_units, parse
from stock.edge.checks import Check, checks_of
from stock.edge.clock import at_instant
from stock.edge.problems import Problem, shown
from stock.edge.tapes import parse_on_tape
from stock.edge.texts import BLANKS

Parts = Sequence[tuple[Any, ...]]
"""What the cells of a row were read into, in the order of a plan's slots."""


class Slot(NamedTuple):
    """One column a file may have.

    needed: the header must name it, unless `on_tape` stands for it (instead). often: how many texts of it are worth
    remembering, none where each row has its own.
    """

    column: str
    needed: bool
    instead: bool
    read: Callable[[str, Context], tuple[object, ...]]
    help: str
    often: int = 50_000


class Plan(NamedTuple):
    """The slots of a kind, those of its stored values first, in their order.

    checks: what must hold between the cells. stored: how many slots those of the values are. start (of a point: at),
    end, entry, recorded, on_tape: the indexes of the slots that are no values, None where the kind has none.
    amounts, currency: the indexes of money among the values.
    """

    kind: Kind
    slots: tuple[Slot, ...]
    checks: tuple[Check, ...]
    stored: int
    start: int | None
    end: int | None
    entry: int
    recorded: int
    on_tape: int | None
    amounts: tuple[int, ...]
    currency: int

    def entered(self, parts: Parts) -> Entered | list[Problem]:
        """The fact that cells read one by one make together, or all that is wrong between them."""
        # taken apart at once: this is done for each of millions of rows
        kind, _, checks, stored, at_start, at_end, at_entry, at_recorded, at_on_tape, amounts, _ = self
        values = tuple(chain.from_iterable(parts[:stored]))
        start: Place | None = None if at_start is None else parts[at_start][0]
        end: Place | None = None if at_end is None else parts[at_end][0]
        places: tuple[Stretch, ...] | None = None if at_on_tape is None else parts[at_on_tape][0]
        problems: list[Problem] = []
        for check in checks:
            problems += check(values, start, end, places)
        if amounts:
            values = self._in_minor_units(values, problems)
        if problems:
            return problems
        return Entered(kind, values, start, end, places, parts[at_entry][0], parts[at_recorded][0])

    def _in_minor_units(self, values: tuple[Any, ...], problems: list[Problem]) -> tuple[Any, ...]:
        """The values with money in minor units; what cannot be so written is added to the problems."""
        code = values[self.currency]
        if not isinstance(code, str):
            return values
        settled = list(values)
        for index in self.amounts:
            amount = values[index]
            if amount is None:
                continue
            try:
                settled[index] = minor_units(amount, code)
            except CellError as error:
                column = columns(self.kind)[index].name
                problems.append(Problem(column, str(amount), error.expected, str(error)))
        return tuple(settled)


def plan_of(kind: Kind) -> Plan:
    """The plan of a kind, made once."""
    return _plan(kind.name)


@cache
def _plan(name: str) -> Plan:
    kind = BY_NAME[name]
    placed = place_columns(kind)
    slots = [_slot(field) for field in kind.fields if field.name not in placed]
    if kind.name == "decision":
        slots.append(_slot(Field("take_entry", "entry", help="the entry of the take it is about")))
    stored = len(slots)
    # `check` asks for the places that are required: a row that says where on tape it lies need not name them
    slots += [
        Slot(field.name, field.required, True, partial(parse, field._replace(required=False)), field.help, 5_000)
        for field in kind.fields
        if field.name in placed
    ]
    at = {slot.column: index for index, slot in enumerate(slots)}
    names = [column.name for column in columns(kind)]
    extras = [
        _slot(Field(own_number(kind), "entry", help="the fact's own number"))._replace(often=0),
        Slot("recorded_at", False, False, _recorded, "when it was recorded, as a dump writes it"),
    ]
    if kind.placed != "no":
        extras.append(Slot("on_tape", False, False, _on_tape, "`TAPE:from-to` in metres, as a dump writes it", 0))
    first = len(slots)
    return Plan(
        kind,
        (*slots, *extras),
        checks_of(kind.name),
        stored,
        at.get("at", at.get("start")) if placed else None,
        at.get("end") if placed else None,
        first,
        first + 1,
        first + 2 if kind.placed != "no" else None,
        tuple(names.index(field.name) for field in kind.fields if field.cell == "money"),
        names.index("currency") if "currency" in names else -1,
    )


def place_columns(kind: Kind) -> tuple[str, ...]:
    """The columns that say where a fact lies: start and end, at, or none."""
    return {"span": ("start", "end"), "point": ("at",)}.get(kind.placed, ())


def own_number(kind: Kind) -> str:
    """The column of a fact's own number: in the voids `entry` is the entry voided."""
    return "void_entry" if kind.name == "void" else "entry"


def _slot(field: Field) -> Slot:
    return Slot(field.name, field.required, False, partial(parse, field), field.help)


def _recorded(text: str, context: Context) -> tuple[int | None]:
    stripped = text.strip(BLANKS)
    return (at_instant(stripped, context.calendar) if stripped else None,)


def _on_tape(text: str, context: Context) -> tuple[tuple[Stretch, ...] | None]:
    return (parse_on_tape(text),)


def header_problems(kind: Kind, header: Sequence[str]) -> list[Problem]:
    """What is wrong with the header row of a kind's file: unknown columns, columns named twice, missing ones."""
    known = {slot.column: slot for slot in plan_of(kind).slots}
    listed = ", ".join(known)
    problems = []
    for index, column in enumerate(header):
        if column not in known:
            problems.append(_header_problem(column, "is not a column of this file", f"one of {listed}"))
        elif column in header[:index]:
            problems.append(_header_problem(column, "is there twice", "each column once"))
    for column, slot in known.items():
        if slot.needed and column not in header and not (slot.instead and "on_tape" in header):
            problems.append(_header_problem(column, "is missing", f"a column `{column}`"))
    return problems


def _header_problem(column: str, why: str, expected: str) -> Problem:
    return Problem(column, column, expected, f"{shown(column)} {why}; {expected} was expected")
