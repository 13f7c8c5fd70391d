"""The one door for screens and commands: it opens the house's database, answers questions and enters facts."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from stock.core.facts import Entered, Fact
from stock.core.house import House
from stock.core.kinds import BY_NAME, Kind
from stock.core.moments import AsOf, Calendar, as_of_instant, datetime_of, day_number, end_of_day
from stock.core.verdict import Advice, advise
from stock.desk.entering import Batch, Fault, Row, Sourced
from stock.desk.errors import CannotEnter, LabelAsked, NoSuchReel, NotDirectly, Unproved
from stock.desk.history import HistoryLine, history
from stock.desk.laying import reader_of
from stock.desk.reading import some_reels, whole_house, zone_in_force
from stock.desk.rolls import guard_roll
from stock.edge.cells import Context
from stock.edge.collecting import no_collecting
from stock.edge.forms import FormError, Problem, enter
from stock.edge.texts import BLANKS
from stock.store import backup as backups
from stock.store.reader import Reader
from stock.store.store import Store, clock_us
from stock.store.writer import Writer

GUARDED = {"wipe": "a wipe is entered by its guarded steps, never by itself", "void": "use `reelward void`"}


@dataclass(frozen=True)
class Receipt:
    """What was entered: the journal's line, and the entries of the facts; none where all was there already."""

    line: int | None
    entries: tuple[int, ...]
    known: int = 0


@dataclass(frozen=True)
class LoadReport:
    """What a load found. faults: what the record cannot bear; with any, nothing was stored."""

    receipt: Receipt
    faults: tuple[Fault, ...]
    counts: Mapping[str, int]


def default_path() -> Path:
    """Where the house's database lies unless somebody says otherwise: the user's data folder."""
    base = os.environ.get("XDG_DATA_HOME")
    folder = Path(base) if base else Path.home() / ".local" / "share"
    return folder / "reelward" / "house.db"


class Desk:
    """An open house.

    who: who is acting. today: the day answers are given for, None for now; it has no part in what is entered.
    """

    def __init__(
        self, store: Store, who: str, *, today: date | None = None, now_us: Callable[[], int] = clock_us
    ) -> None:
        self.store = store
        self.who = who
        self._today = today
        self._now_us = now_us

    @classmethod
    def open(
        cls,
        target: str | Path,
        who: str,
        *,
        create: bool = True,
        today: date | None = None,
        now_us: Callable[[], int] = clock_us,
    ) -> Desk:
        """Open a house at a path or URL (StoreError where that is refused) and make the day's backup if it is due."""
        store = Store.open(target, create=create, now_us=now_us)
        desk = cls(store, who, today=today, now_us=now_us)
        folder = backups.backup_folder(store.path)
        if backups.daily_backup_due(folder, now_us()):
            desk.backup(folder)
        return desk

    def close(self) -> None:
        self.store.close()

    def backup(self, folder: Path | None = None) -> Path:
        """Copy the database as it is now, and let go of backups that are past their time in the usual folder."""
        usual = backups.backup_folder(self.store.path)
        made = backups.backup(self.store.path, folder or usual, self._now_us())
        if folder in (None, usual):
            backups.prune(usual, self._now_us())
        return made

    # asking

    @property
    def today(self) -> date | None:
        """The day answers are asked for; None for now."""
        return self._today

    @contextmanager
    def _asking(self) -> Iterator[tuple[Reader, Calendar, AsOf]]:
        with self.store.reading() as reader:
            calendar = Calendar(zone_in_force(reader))
            yield reader, calendar, self.as_of_in(calendar)

    def as_of_in(self, calendar: Calendar) -> AsOf:
        """The moment answers are given for, by a calendar."""
        if self._today is not None:
            return end_of_day(calendar, day_number(self._today))
        return as_of_instant(calendar, self._now_us())

    def house(self, reels: Collection[str] | None = None) -> House:
        """The house as answers see it: all of it, or what some reels need."""
        with self._asking() as (reader, calendar, as_of):
            if reels is None:
                with no_collecting():
                    return whole_house(reader, calendar, as_of)
            return some_reels(reader, calendar, as_of, reels)

    def advise(self, reels: Sequence[str] | None = None, *, speed: int | None = None) -> Iterator[Advice]:
        """The verdict of every reel, or of some, in order of number. Raises NoSuchReel."""
        house = self.house(reels)
        if reels is not None:
            known = set(house.reel_numbers)
            for reel in reels:
                if reel not in known:
                    raise NoSuchReel(reel=reel, near=self._near(reel))
        return advise(house, reels, speed)

    def _near(self, reel: str) -> str:
        """Reel numbers like one that is not there, to name in the error."""
        from difflib import get_close_matches

        with self.store.reading() as reader:
            numbers = [number for (number,) in reader.iterate("SELECT reel FROM reels")]
        near = get_close_matches(reel, numbers, 3)
        return f"; did you mean {', '.join(near)}?" if near else ""

    def history(self, reel: str) -> list[HistoryLine]:
        """All facts about a reel and the tape on it, oldest first, voided ones too. Raises NoSuchReel."""
        with self._asking() as (reader, calendar, as_of):
            house = some_reels(reader, calendar, as_of, [reel])
            if reel not in house.reel_numbers:
                raise NoSuchReel(reel=reel, near="")
            return history(reader, house, reel)

    def now_us(self) -> int:
        """What the clock says, microseconds since 1970-01-01 UTC."""
        return self._now_us()

    def context(self) -> Context:
        """How cells are read in this house."""
        with self._asking() as (_, calendar, _as_of):
            return Context(calendar)

    def as_of(self) -> AsOf:
        """The moment answers are given for."""
        with self._asking() as (_, _calendar, as_of):
            return as_of

    # entering

    def add(self, kind_name: str, cells: Mapping[str, str]) -> Receipt:
        """Enter one fact from what somebody typed, by column.

        A date left out is now, a `by` left out is who is acting. Raises CannotEnter with every problem, NotDirectly for
        what has guarded steps of its own, LabelAsked for an edit that throws tape away (see `editing.throw_away`).
        """
        kind = BY_NAME[kind_name]
        if kind_name in GUARDED:
            raise NotDirectly(kind=kind_name, says=GUARDED[kind_name])
        if throws_away(kind, cells):
            self._read(kind, cells, self.context(), self._now_us())
            raise LabelAsked(reel=cells["reel"])
        return self._enter(kind, cells, f"add {kind_name}")

    def add_all(
        self,
        rows: Sequence[tuple[Kind, Mapping[str, str]]],
        what: str,
        *,
        first: Callable[[Writer], None] | None = None,
    ) -> Receipt:
        """Enter several facts as one command: all of them or none. Raises CannotEnter, LabelAsked.

        first: looks at the record in the same transaction, and raises what refuses the facts.
        """
        with self.store.writing() as writer:
            if first is not None:
                first(writer)
            now_us, calendar, _ = self.moment(writer)
            receipt = self.enter_all_in(writer, rows, what, now_us, calendar)
            writer.commit()
            return receipt

    def enter_all_in(
        self,
        writer: Writer,
        rows: Sequence[tuple[Kind, Mapping[str, str]]],
        what: str,
        now_us: int,
        calendar: Calendar,
    ) -> Receipt:
        """Enter several facts in a transaction that the caller commits. Raises CannotEnter."""
        context = Context(calendar)
        entered = [Sourced(cells, self._read(kind, cells, context, now_us)) for kind, cells in rows]
        for kind, cells in rows:
            if throws_away(kind, cells):
                raise LabelAsked(reel=cells["reel"])
        batch = Batch(writer, calendar, now_us, again=True)
        batch.take(entered)
        if batch.faults:
            raise CannotEnter([Problem(f.column, f.source.get(f.column, ""), f.expected, f.says) for f in batch.faults])
        for fact in batch.facts:
            if fact.kind.name == "edit":
                self._guard_edit(writer, calendar, now_us, fact)
        line = writer.add(batch.facts, who=self.who, what=what, at_us=now_us)
        return Receipt(line.line, tuple(fact.entry or 0 for fact in batch.facts))

    def void(self, entry: int, why: str) -> Receipt:
        """Take one entry back, with a reason. Raises CannotEnter."""
        return self._enter(BY_NAME["void"], {"entry": str(entry), "reason": why}, f"void {entry}")

    def _enter(self, kind: Kind, cells: Mapping[str, str], what: str) -> Receipt:
        with self.store.writing() as writer:
            now_us, calendar, _ = self.moment(writer)
            receipt = self.enter_in(writer, kind, cells, what, now_us, calendar)
            writer.commit()
            return receipt

    def moment(self, reader: Reader) -> tuple[int, Calendar, AsOf]:
        """When something entered now is entered (the later of the clock and the newest journal line), the house's
        calendar, and that moment to take answers for. No day asked for has a part in it."""
        now_us = max(self._now_us(), reader.newest_line_us)
        calendar = Calendar(zone_in_force(reader))
        return now_us, calendar, as_of_instant(calendar, now_us)

    def enter_in(
        self, writer: Writer, kind: Kind, cells: Mapping[str, str], what: str, now_us: int, calendar: Calendar
    ) -> Receipt:
        """Enter one fact in a transaction that the caller commits. Raises CannotEnter, Unproved."""
        entered = self._read(kind, cells, Context(calendar), now_us)
        batch = Batch(writer, calendar, now_us, again=True)
        batch.take([Sourced(None, entered)])
        if batch.faults:
            raise CannotEnter([Problem(f.column, cells.get(f.column, ""), f.expected, f.says) for f in batch.faults])
        fact = batch.facts[0]
        if kind.name == "edit":
            self._guard_edit(writer, calendar, now_us, fact)
        line = writer.add([fact], who=self.who, what=what, at_us=now_us)
        return Receipt(line.line, (fact.entry or 0,))

    def _read(self, kind: Kind, cells: Mapping[str, str], context: Context, now_us: int) -> Entered:
        given = {column: text for column, text in cells.items() if text.strip(BLANKS)}
        names = {field.name for field in kind.fields}
        if "by" in names and "by" not in given:
            given["by"] = self.who
        if "date" in names and "date" not in given:
            given["date"] = _spelled_now(now_us)
        try:
            return enter(kind, given, context)
        except FormError as error:
            raise CannotEnter(error.problems) from None

    def _guard_edit(self, writer: Writer, calendar: Calendar, now_us: int, fact: Fact) -> None:
        """Tape is thrown away only where everything on it may go, and joined only where it fits."""
        get = reader_of(fact.kind).get
        reel, into = get(fact.values, "reel"), get(fact.values, "to_reel")
        if into is not None:
            guard_roll(writer, some_reels(writer, calendar, as_of_instant(calendar, now_us), {reel, into}), fact)
            return
        house = some_reels(writer, calendar, as_of_instant(calendar, now_us), [reel])
        (answer,) = advise(house, [reel])
        layout = house.layout(reel)
        spans = [span for piece in fact.places for span in layout.project(*piece)]
        against = [
            reason
            for reason in answer.reasons
            if reason.about == "recording"
            and reason.severity != "note"
            and (reason.lo is None or reason.hi is None or any(a < reason.hi and reason.lo < b for a, b in spans))
        ]
        if against:
            raise Unproved(reel=reel, reasons="; ".join(reason.says for reason in against))

    def load(self, rows: Iterable[Row], calendar: Calendar, what: str, *, dry_run: bool = False) -> LoadReport:
        """Enter many facts at once: all of them, or, with any fault, none.

        calendar: of the zone the rows were read in. A backup of what was there is made first. Rows that are there
        already add nothing.
        """
        if not dry_run:
            with self.store.reading() as reader:
                head = reader.head()
            if head is not None and head.line > 1:
                self.backup()
        with no_collecting(), self.store.writing() as writer:
            now_us = max(self._now_us(), writer.newest_line_us)
            batch = Batch(writer, calendar, now_us)
            batch.take(rows)
            counts: dict[str, int] = {}
            for fact in batch.facts:
                counts[fact.kind.file] = counts.get(fact.kind.file, 0) + 1
            line: int | None = None
            if batch.facts and not batch.faults and not dry_run:
                line = writer.add(batch.facts, who=self.who, what=what, at_us=now_us).line
                writer.commit()
            entries = tuple(fact.entry or 0 for fact in batch.facts) if line is not None else ()
            return LoadReport(Receipt(line, entries, batch.known), tuple(batch.faults), counts)


def throws_away(kind: Kind, cells: Mapping[str, str]) -> bool:
    """Whether a fact as typed is an edit that throws tape away."""
    return kind.name == "edit" and not cells.get("to_reel", "").strip(BLANKS)


def _spelled_now(now_us: int) -> str:
    return datetime_of(now_us).isoformat(timespec="microseconds").replace("+00:00", "Z")
