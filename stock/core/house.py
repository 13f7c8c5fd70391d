"""The house as of a moment: every fact where an answer looks for it, the layouts, and the rules in force."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any

from stock.core.facts import Stretch
from stock.core.layout import Edit, Layout, Layouts, LengthFix
from stock.core.moments import NEVER, AsOf, Calendar
from stock.core.packed import PackedPasses
from stock.core.record import (
    ROWS,
    Decision,
    Finding,
    Formulation,
    Pass,
    Project,
    Record,
    Reel,
    RuleRow,
    StockItem,
    Take,
)
from stock.core.rules import BY_NAME, RuleFact, Rules
from stock.core.tracks import every

ON_TAPE = (
    "takes",
    "passes",
    "wipes",
    "transfers",
    "findings",
    "splices",
    "response",
    "owners",
    "holds",
    "releases",
    "retirements",
    "zero_marks",
    "stripes",
)
KEYED = {
    "formulations": "formulation",
    "stock_items": "stock_item",
    "reels": "reel",
    "moves": "reel",
    "sets": "set",
    "decisions": "take_entry",
    "listens": "transfer",
    "copies": "transfer",
    "copy_checks": "transfer",
    "hold_ends": "hold",
    "projects": "project",
    "reservations": "reel",
}
WHOLE_REEL_FAULTS = frozenset({"sticky", "shedding", "vinegar", "mould"})

Placed = tuple[int, int, Any]
"""A stretch and the row that lies on it."""


class Index:
    """Rows by the tape they lie on, or by the name others refer to them with."""

    def __init__(self, record: Record, as_of: AsOf, left_out: Collection[int]) -> None:
        self.on_tape: dict[str, dict[str, list[Placed]]] = {file: {} for file in ON_TAPE}
        self.keyed: dict[str, dict[Any, list[Any]]] = {file: {} for file in KEYED}
        self.sets_of: dict[str, list[Any]] = {}
        self.takes_of: dict[str, list[Any]] = {}
        more = record.more
        for file, tables in self.on_tape.items():
            fields = ROWS[file]._fields
            lo, hi = fields.index("lo"), fields.index("hi" if "hi" in fields else "lo")
            for row in _there(file, record.of(file), as_of, left_out):
                if row.tape is None:
                    continue
                _add(tables, row.tape, (row[lo], row[hi], row))
                if row.entry in more:
                    for piece in more[row.entry]:
                        _add(tables, piece.tape, (piece.lo, piece.hi, row))
                if file == "takes":
                    _add(self.takes_of, row.reel, row)
        for file, name in KEYED.items():
            table = self.keyed[file]
            key = ROWS[file]._fields.index(name)
            for row in _there(file, record.of(file), as_of, left_out):
                if file == "reels" and row.acquired is not None and not as_of.has(row.acquired, None):
                    continue
                _add(table, row[key], row)
                if file == "sets":
                    _add(self.sets_of, row.reel, row)


def _add(table: dict[Any, list[Any]], key: Any, row: Any) -> None:
    found = table.get(key)
    if found is None:
        table[key] = [row]
    else:
        found.append(row)


def _there(file: str, rows: list[Any], as_of: AsOf, left_out: Collection[int]) -> list[Any]:
    """The rows of a file that are there as of a moment, but for those left out."""
    if left_out:
        rows = [row for row in rows if row.entry not in left_out]
    fields = ROWS[file]._fields
    if "day" not in fields:
        return rows
    day, at_us = fields.index("day"), fields.index("at_us")
    # AsOf.has, written out: it is asked of every row of a house
    until_us, until_day = as_of
    return [
        row
        for row in rows
        if (row[at_us] <= until_us if row[at_us] is not None else row[day] is None or row[day] <= until_day)
    ]


class House:
    """All that answers look at, as of one moment.

    record: the facts, but for the passes that are in `packed`. wear: tenths of a pass by tape, of the passes in the
    record.
    """

    def __init__(
        self,
        record: Record,
        calendar: Calendar,
        as_of: AsOf,
        packed: PackedPasses | None = None,
    ) -> None:
        self.record = record
        self.calendar = calendar
        self.as_of = as_of
        voided = record.voided
        self.wear = wear_of(record, as_of, record.of("passes"), voided)
        self._packed = packed
        self._base = Index(record, as_of, voided)
        self._ghost: Index | None = None
        self._back: int | None = None
        self._gone = _gone(record)
        self._bad_batches: dict[tuple[str, str], list[tuple[str, int, int]]] | None = None
        self.rules = Rules(self._rule_facts())
        self.layouts = self._layouts()
        self.memo: dict[Any, Any] = {}
        """What answers remember of this house, by their own keys."""

    def with_back(self, entry: int) -> House:
        """This house as it would be had one entry not been voided.

        Raises LayoutError where that entry no longer fits the reels.
        """
        file, row = self._gone[entry]
        other = object.__new__(House)
        other.record, other.calendar, other.as_of = self.record, self.calendar, self.as_of
        other._base, other._gone, other._back = self._base, self._gone, entry
        other._packed = self._packed
        alone = Record({file: [row]}, self.record.more)
        other._ghost = Index(alone, self.as_of, ())
        other.wear = self.wear
        if file == "passes":
            extra = wear_of(alone, self.as_of, [row], ())
            other.wear = {**self.wear, **{tape: self.wear.get(tape, []) + spans for tape, spans in extra.items()}}
        other._bad_batches = None if file in ("findings", "reels", "formulations", "stock_items") else self._bad_batches
        other.rules = Rules(other._rule_facts()) if file == "rules" else self.rules
        moves_tape = file in ("edits", "lengths", "reels", "stock_items")
        other.layouts = other._layouts() if moves_tape else self.layouts
        other.memo = {}
        return other

    def with_rules(self, values: Mapping[str, int | str]) -> House:
        """This house as it would be had house rules been set at its moment. values: stored values by name."""
        other = object.__new__(House)
        other.__dict__.update(self.__dict__)
        set_now = (RuleFact(0, name, value, self.as_of.at_us) for name, value in values.items())
        other.rules = Rules([*self._rule_facts(), *set_now])
        other.memo = {}
        return other

    def with_cut(self, reel: str, lo: int, hi: int) -> House:
        """This house as it would be with the reel places [lo, hi) cut out and thrown away."""
        other = object.__new__(House)
        other.__dict__.update(self.__dict__)
        stretches = tuple(self.layout(reel).locate(lo, hi))
        other.layouts = self.layouts.supposing(Edit(NEVER, NEVER, reel, stretches, None, None))
        other.memo = {}
        return other

    def inspected(self, reel: str) -> House:
        """This house as it would be had a reel been inspected now, all along, and nothing been found."""
        return self.found_sound(reel, ("inspection",))

    def found_sound(self, reel: str, kinds: Sequence[str]) -> House:
        """This house as it would be had looks of some kinds at all of a reel been made now, and found nothing."""
        other = object.__new__(House)
        other.__dict__.update(self.__dict__)
        first, *rest = self.layout(reel).pieces
        rows = [Finding(-at, reel, None, self.as_of.at_us, kind, 0, None, *first) for at, kind in enumerate(kinds)]
        other._ghost = Index(Record({"findings": rows}, {row.entry: rest for row in rows}), self.as_of, ())
        other.memo = {}
        return other

    def gone(self, entry: int) -> tuple[str, Any] | None:
        """The file and row of a voided entry, where answers rest on that file."""
        return self._gone.get(entry)

    def _live(self, file: str) -> Iterable[Any]:
        """The rows of a file that are there and not voided."""
        voided = self.record.voided
        return (
            row
            for row in self.record.of(file)
            if (row.entry == self._back or row.entry not in voided)
            and ("day" not in row._fields or self.as_of.has(row.day, row.at_us))
        )

    def _rule_facts(self) -> list[RuleFact]:
        facts = []
        row: RuleRow
        for row in self._live("rules"):
            definition = BY_NAME.get(row.rule)
            if definition is not None:
                value = row.value if definition.cell == "zone" else int(row.value)
                facts.append(RuleFact(row.entry, row.rule, value, self.calendar.loosens(row.day, row.at_us)))
        return facts

    def _layouts(self) -> Layouts:
        items = {item.stock_item: item for item in self._live("stock_items")}
        lengths: dict[str, int] = {}
        for reel in self.record.of("reels"):
            length = reel.length
            if length is None:
                item = items.get(reel.stock_item)
                length = item.length if item else 0
            lengths[reel.reel] = length
        more = self.record.more
        edits = [
            Edit(
                row.entry,
                self.calendar.binds(row.day, row.at_us),
                row.reel,
                (Stretch(row.tape, row.lo, row.hi), *more.get(row.entry, ())),
                row.to_reel,
                row.to_at,
            )
            for row in self._live("edits")
        ]
        fixes = [
            LengthFix(fix.entry, self.calendar.binds(fix.day, fix.at_us), fix.reel, fix.length)
            for fix in self._live("lengths")
        ]
        return Layouts(lengths, edits, fixes)

    def on_tape(self, file: str, tape: str) -> list[Placed]:
        """The rows of a file that lie on a tape, with their stretches, in no order that matters."""
        found = self._base.on_tape[file].get(tape, [])
        if self._packed is not None and file == "passes":
            found = self._packed.records(tape) + found
        if self._ghost is not None:
            return found + self._ghost.on_tape[file].get(tape, [])
        return found

    def wear_steps(self, tape: str) -> dict[int, int]:
        """Where along a tape the tenths of a pass that its passes make change, and by how much; a change may be 0."""
        steps = self._packed.wear_steps(tape) if self._packed is not None else {}
        for lo, hi, tenths in self.wear.get(tape, ()):
            steps[lo] = steps.get(lo, 0) + tenths
            steps[hi] = steps.get(hi, 0) - tenths
        return steps

    def keyed(self, file: str, key: Any) -> list[Any]:
        """The rows of a file with that name."""
        found = self._base.keyed[file].get(key, [])
        if self._ghost is not None:
            return found + self._ghost.keyed[file].get(key, [])
        return found

    def sets_of(self, reel: str) -> list[Any]:
        """The set rows of a reel."""
        found = self._base.sets_of.get(reel, [])
        if self._ghost is not None:
            return found + self._ghost.sets_of.get(reel, [])
        return found

    def takes_of(self, reel: str) -> list[Take]:
        """The takes entered on a reel, wherever their tape is now."""
        found: list[Take] = self._base.takes_of.get(reel, [])
        if self._ghost is not None:
            return found + self._ghost.takes_of.get(reel, [])
        return found

    @property
    def reel_numbers(self) -> list[str]:
        """The numbers of all reels there are, in order."""
        numbers = set(self._base.keyed["reels"])
        if self._ghost is not None:
            numbers.update(self._ghost.keyed["reels"])
        return sorted(numbers)

    def reel(self, number: str) -> Reel:
        """A reel as it came (KeyError if there is none)."""
        rows: list[Reel] = self.keyed("reels", number)
        if not rows:
            raise KeyError(number)
        return rows[0] if len(rows) == 1 else max(rows)

    def item_of(self, number: str) -> StockItem | None:
        """The stock item of a reel (or of the tape that came on it)."""
        rows: list[StockItem] = self.keyed("stock_items", self.reel(number).stock_item)
        return max(rows) if rows else None

    def formulation_of(self, number: str) -> Formulation | None:
        """The formulation of the tape that came on a reel."""
        item = self.item_of(number)
        rows: list[Formulation] = self.keyed("formulations", item.formulation) if item else []
        return max(rows) if rows else None

    def project(self, name: str | None) -> Project | None:
        """The newest entry of a project; None where nobody entered it."""
        rows: list[Project] = self.keyed("projects", name) if name else []
        return max(rows) if rows else None

    def decisions_of(self, take_entry: int) -> list[Decision]:
        return self.keyed("decisions", take_entry)

    def layout(self, reel: str) -> Layout:
        """A reel as it is at the as-of moment."""
        return self.layouts.now(reel)

    def mask_of(self, reel: str, tracks: int | None) -> int:
        """A track mask; not stated means every track of the reel the fact was entered on."""
        return tracks if tracks is not None else every(self.reel(reel).tracks)

    def faulty_of_batch(self, formulation: str, batch: str) -> list[tuple[str, int, int]]:
        """Tapes of a batch with a fault that speaks for the whole reel: (tape, moment, entry)."""
        if self._bad_batches is None:
            self._bad_batches = {}
            for row in self._live("findings"):
                if row.kind not in WHOLE_REEL_FAULTS or row.severity < 1:
                    continue
                for tape in {row.tape, *(piece.tape for piece in self.record.more.get(row.entry, ()))}:
                    if not self.keyed("reels", tape) or not self.speaks_for_reel(row.kind, tape):
                        continue
                    own = self.formulation_of(tape)
                    its_batch = self.reel(tape).batch
                    if own is not None and its_batch:
                        bound = self.calendar.binds(row.day, row.at_us)
                        key = own.formulation, its_batch
                        self._bad_batches.setdefault(key, []).append((tape, bound, row.entry))
        return self._bad_batches.get((formulation, batch), [])

    def speaks_for_reel(self, kind: str, tape: str) -> bool:
        """Whether such a fault on a tape speaks for the whole reel; vinegar does so on acetate or an unknown base."""
        if kind != "vinegar":
            return kind in WHOLE_REEL_FAULTS
        formulation = self.formulation_of(tape)
        return formulation is None or formulation.base in (None, "acetate", "unknown")


def _gone(record: Record) -> dict[int, tuple[str, Any]]:
    """The voided rows, by entry."""
    if not record.voided:
        return {}
    return {row.entry: (file, row) for file, rows in record.rows.items() for row in rows if row.entry in record.voided}


def wear_of(
    record: Record, as_of: AsOf, passes: Iterable[Pass], left_out: Collection[int]
) -> dict[str, list[tuple[int, int, int]]]:
    """Tenths of a pass by stretch and tape, of the passes given (takes and wipes are not among them)."""
    sums: dict[str, dict[tuple[int, int], int]] = {}
    for row in passes:
        if row.entry in left_out or not as_of.has(row.day, row.at_us):
            continue
        tenths = (1 if row.count is None else row.count) * (1 if row.kind == "wind" else 10)
        for tape, lo, hi in ((row.tape, row.lo, row.hi), *record.more.get(row.entry, ())):
            stretches = sums.setdefault(tape, {})
            stretches[lo, hi] = stretches.get((lo, hi), 0) + tenths
    return {tape: [(lo, hi, tenths) for (lo, hi), tenths in found.items()] for tape, found in sums.items()}
