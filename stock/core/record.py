"""The facts that answers rest on, as plain rows: what each answer reads, and no more.

The field names are the stored columns' names, so that a store can select them by `fields_of`.
It is long because every kind of row an answer rests on is here, and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from stock.core.facts import Fact, Stretch
from stock.core.kinds import BY_FILE, PLACE_COLUMNS, columns


class Formulation(NamedTuple):
    entry: int
    formulation: str
    base: str | None
    binder_watch: str | None


class StockItem(NamedTuple):
    entry: int
    stock_item: str
    formulation: str
    width: int
    length: int


class Reel(NamedTuple):
    entry: int
    reel: str
    stock_item: str
    tracks: int
    batch: str | None
    length: int | None
    owner: str | None
    acquired: int | None
    arrived_as: str | None
    passes_before: int | None
    role: str | None
    shelf: str | None
    note: str | None


class Owner(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    owner: str
    tape: str | None
    lo: int | None
    hi: int | None


class LengthRow(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    length: int


class SetMember(NamedTuple):
    entry: int
    set: str
    reel: str
    day: int | None
    at_us: int | None


class Pass(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    kind: str
    speed: int | None
    vary: int | None
    tracks: int | None
    count: int | None  # type: ignore[assignment]
    take: str | None
    tape: str
    lo: int
    hi: int


class Splice(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    kind: str | None
    state: str | None
    tape: str
    lo: int


class EditRow(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    to_reel: str | None
    to_at: int | None
    tape: str
    lo: int
    hi: int


class Finding(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    kind: str
    severity: int
    tracks: int | None
    tape: str
    lo: int
    hi: int


class Response(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    speed: int | None
    vary: int | None
    machine: str | None
    track: int | None
    frequency_hz: int
    level_db: int
    tape: str | None
    lo: int | None
    tone: str | None


class Take(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    project: str | None
    title: str
    take: str
    speed: int
    vary: int | None
    tracks: int | None
    track_names: str | None
    state: str | None
    keep: str | None
    by: str | None
    tape: str
    lo: int
    hi: int


class Decision(NamedTuple):
    entry: int
    day: int | None
    at_us: int | None
    keep: str
    by: str | None
    take_entry: int


class Transfer(NamedTuple):
    entry: int
    transfer: str
    reel: str
    day: int | None
    at_us: int | None
    tracks: int
    sample_rate_hz: int
    bit_depth: int
    tape: str
    lo: int
    hi: int


class Listen(NamedTuple):
    entry: int
    transfer: str
    day: int | None
    at_us: int | None
    by: str | None


class Copy(NamedTuple):
    entry: int
    transfer: str
    copy: str
    medium: str
    place: str
    day: int | None
    at_us: int | None


class CopyCheck(NamedTuple):
    entry: int
    transfer: str
    copy: str
    day: int | None
    at_us: int | None
    method: str
    result: str
    manifest_sha256: str | None


class Hold(NamedTuple):
    entry: int
    hold: str
    reel: str
    day: int | None
    at_us: int | None
    until: int | None
    reason: str
    by: str | None
    tape: str | None
    lo: int | None
    hi: int | None


class HoldEnd(NamedTuple):
    entry: int
    hold: str
    day: int | None
    at_us: int | None


class Release(NamedTuple):
    entry: int
    reel: str
    project: str | None
    day: int | None
    at_us: int | None
    granted_by: str | None
    tape: str | None
    lo: int | None
    hi: int | None


class Wipe(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    method: str
    certificate: str | None
    tape: str
    lo: int
    hi: int


class Retirement(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    reason: str | None
    tape: str | None
    lo: int | None
    hi: int | None


class Move(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    kind: str
    to: str | None


class Reservation(NamedTuple):
    entry: int
    reel: str
    project: str
    day: int | None
    at_us: int | None
    until: int | None


class Project(NamedTuple):
    entry: int
    project: str
    client: str | None
    mode: str | None
    cool_days: int | None
    release_needed: str | None


class RuleRow(NamedTuple):
    entry: int
    rule: str
    value: str
    day: int | None
    at_us: int | None


class ZeroMark(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    tape: str
    lo: int


class Stripe(NamedTuple):
    entry: int
    reel: str
    day: int | None
    at_us: int | None
    track: int | None
    start_code: str | None
    rate: str | None
    tape: str
    lo: int


ROWS: dict[str, type[Any]] = {
    "formulations": Formulation,
    "stock_items": StockItem,
    "reels": Reel,
    "owners": Owner,
    "lengths": LengthRow,
    "sets": SetMember,
    "passes": Pass,
    "splices": Splice,
    "edits": EditRow,
    "findings": Finding,
    "response": Response,
    "takes": Take,
    "decisions": Decision,
    "transfers": Transfer,
    "listens": Listen,
    "copies": Copy,
    "copy_checks": CopyCheck,
    "holds": Hold,
    "hold_ends": HoldEnd,
    "releases": Release,
    "wipes": Wipe,
    "retirements": Retirement,
    "moves": Move,
    "reservations": Reservation,
    "projects": Project,
    "rules": RuleRow,
    "zero_marks": ZeroMark,
    "stripes": Stripe,
}
"""Each file that answers rest on, and the row it is read into."""


def fields_of(file: str) -> tuple[str, ...]:
    """The columns of a file's row, in order."""
    fields: tuple[str, ...] = ROWS[file]._fields
    return fields


@dataclass
class Record:
    """Facts as read. rows: by file. more: the second and later stretches of a fact, by its entry.

    voided: entries taken back (their rows are still among the rows). made_us: when the database was made.
    """

    rows: dict[str, list[Any]] = field(default_factory=dict)
    more: dict[int, list[Stretch]] = field(default_factory=dict)
    voided: dict[int, int] = field(default_factory=dict)
    made_us: int = 1 << 62

    def of(self, file: str) -> list[Any]:
        """The rows of one file."""
        return self.rows.get(file, [])


def record_of(facts: Iterable[Fact], made_us: int = 1 << 62) -> Record:
    """A record made from whole facts (with their entry numbers); files no answer rests on are left out."""
    record = Record(made_us=made_us)
    for fact in facts:
        assert fact.entry is not None
        values: Mapping[str, Any] = dict(zip((c.name for c in columns(fact.kind)), fact.values, strict=True))
        if fact.kind.name == "void":
            record.voided[values["target"]] = fact.entry
            continue
        row = ROWS.get(fact.kind.file)
        if row is None:
            continue
        first = fact.places[0] if fact.places else (None, None, None)
        held = {**values, **dict(zip(PLACE_COLUMNS, first, strict=True)), "entry": fact.entry}
        record.rows.setdefault(fact.kind.file, []).append(row._make(held[name] for name in row._fields))
        if len(fact.places) > 1:
            record.more[fact.entry] = list(fact.places[1:])
    return record


assert all(file in BY_FILE for file in ROWS)
