"""What stands on a reel's labels and track sheet, read out of its facts as they are today."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

from stock.core.label_code import label_code
from stock.core.measure import Speed
from stock.core.moments import date_of, datetime_of
from stock.core.picking.counter import counter_of
from stock.core.record import Take
from stock.core.spans import union
from stock.core.tracks import numbers, spell
from stock.core.verdict import Judge
from stock.core.words import clock, speed_words
from stock.desk.desk import Desk
from stock.desk.errors import NoSuchReel
from stock.edge.numbers import spell_scaled
from stock.exchange.labels import Label, Sheet, box_labels, track_sheet
from stock.exchange.papers import write_whole
from stock.store.reader import Reader


class _Laid(NamedTuple):
    """A take that is still on the tape. lo, hi: its places on the reel. more: its equalisation and the like."""

    lo: int
    hi: int
    take: Take
    more: dict[str, Any]


def write_labels(desk: Desk, reels: Sequence[str], path: Path) -> None:
    """Box and reel labels of some reels as PDF. Raises NoSuchReel; OSError where the file cannot be written."""
    made = datetime_of(desk.as_of().at_us)
    write_whole(path, box_labels([label_of(desk, reel) for reel in reels], made))


def write_sheet(desk: Desk, reel: str, path: Path) -> None:
    """The track sheet of a reel as PDF. Raises NoSuchReel; OSError where the file cannot be written."""
    write_whole(path, track_sheet(sheet_of(desk, reel), datetime_of(desk.as_of().at_us)))


class _Reel:
    """A reel and what is still on it."""

    def __init__(self, desk: Desk, number: str) -> None:
        house = desk.house([number])
        if number not in house.reel_numbers:
            raise NoSuchReel(reel=number, near="")
        self.house = house
        judge = Judge(house)
        self.view = judge.view(number)
        self.row = house.reel(number)
        self.counter = counter_of(self.view)
        live = {take.entry for atom in judge.recording(number).live.atoms for take in atom.owners}
        spans: dict[int, list[tuple[int, int]]] = {}
        rows: dict[int, Take] = {}
        for lo, hi, take in self.view.spans("takes"):
            if take.entry in live:
                spans.setdefault(take.entry, []).append((lo, hi))
                rows[take.entry] = take
        with desk.store.reading() as reader:
            more = _more(reader, rows)
            ((wind,),) = reader.raw("SELECT wind FROM reels WHERE entry = ?", (self.row.entry,))
        self.wound = str(wind or "").replace("-", " ")
        self.takes = sorted(
            _Laid(lo, hi, rows[entry], more[entry]) for entry, parts in spans.items() for lo, hi in union(parts)
        )

    @property
    def songs(self) -> list[_Laid]:
        """The takes that are neither tones nor timecode, and not decided against as they were made."""
        return [laid for laid in self.takes if laid.take.keep not in ("tones", "timecode", "discard")]

    def stock(self) -> str:
        formulation, item = self.house.formulation_of(self.row.reel), self.house.item_of(self.row.reel)
        parts = [self.row.stock_item]
        if formulation is not None:
            parts.append(formulation.formulation)
        if item is not None:
            parts.append(f"{spell_scaled(item.width * 1000 // 25_400, 3)} in")
        return ", ".join(parts)

    def day(self, take: Take) -> int | None:
        return self.house.calendar.local_day(take.day, take.at_us)

    def time(self, at: int, take: Take) -> str:
        """The counter's reading at a place, at the take's speed."""
        return clock(self.counter.time_us(at, take.speed))

    def set_words(self) -> str:
        """Its number in its set."""
        for row in sorted(self.house.sets_of(self.row.reel)):
            members = sorted({member.reel for member in self.house.keyed("sets", row.set)})
            return f"{row.set}, {members.index(self.row.reel) + 1} of {len(members)}"
        return ""

    def facts(self) -> tuple[tuple[str, str], ...]:
        """What a box label says of the recording; of what differs along the tape, all of it."""
        songs = self.songs
        days = sorted({day for laid in songs if (day := self.day(laid.take)) is not None})
        dates = " to ".join(dict.fromkeys(date_of(day).isoformat() for day in (days[0], days[-1]))) if days else ""
        projects = list(dict.fromkeys(laid.take.project or "" for laid in songs))
        tones = [laid for laid in self.takes if laid.take.keep == "tones"]
        return (
            ("set", self.set_words()),
            ("date", dates),
            ("artist", ", ".join(dict.fromkeys(filter(None, map(self._client, projects))))),
            ("project", ", ".join(filter(None, projects))),
            ("place", ""),
            ("tracks", str(self.row.tracks)),
            ("speed", _all(speed_words(Speed(laid.take.speed, laid.take.vary or 0)) for laid in songs)),
            ("equalisation", _all(laid.more["equalisation"] for laid in songs)),
            ("noise red.", _all(laid.more["noise_reduction"] for laid in songs)),
            ("level", _all(_level(laid.more["level_nwb_m"]) for laid in songs)),
            ("tones", ", ".join(f"{self.time(each.lo, each.take)}" for each in tones)),
            ("wound", self.wound),
            *((("batch", self.row.batch),) if self.row.batch else ()),
        )

    def _client(self, project: str) -> str:
        row = self.house.project(project)
        return (row.client or "") if row is not None else ""


def _all(words: Any) -> str:
    return ", ".join(dict.fromkeys(filter(None, words)))


def _level(thousandths: int | None) -> str:
    return "" if thousandths is None else f"{spell_scaled(thousandths, 3)} nWb/m"


def _more(reader: Reader, takes: dict[int, Take]) -> dict[int, dict[str, Any]]:
    """What labels say of takes beside what answers rest on."""
    names = ("equalisation", "noise_reduction", "level_nwb_m", "note")
    found = {}
    for entry in takes:
        (row,) = reader.raw(f"SELECT {', '.join(names)} FROM takes WHERE entry = ?", (entry,))
        found[entry] = dict(zip(names, row, strict=True))
    return found


def label_of(desk: Desk, reel: str) -> Label:
    """What stands on a reel's labels. Raises NoSuchReel."""
    own = _Reel(desk, reel)
    titles = tuple(
        f"{laid.take.title} tk {laid.take.take}  {own.time(laid.lo, laid.take)}"
        + ("  false start" if laid.take.state == "false-start" else "")
        for laid in own.songs
    )
    return Label(reel, label_code(reel), own.stock(), own.facts(), titles)


def sheet_of(desk: Desk, reel: str) -> Sheet:
    """What stands on a reel's track sheet. Raises NoSuchReel."""
    own = _Reel(desk, reel)
    takes = tuple(
        (
            laid.take.title,
            laid.take.take,
            laid.take.project or "",
            own.time(laid.lo, laid.take),
            own.time(laid.hi, laid.take),
            speed_words(Speed(laid.take.speed, laid.take.vary or 0)),
            spell(own.house.mask_of(laid.take.reel, laid.take.tracks)),
            laid.take.state or "",
            laid.take.keep or "undecided",
            laid.more["note"] or "",
        )
        for laid in own.takes
    )
    facts = tuple((name, words) for name, words in own.facts() if words)
    heads = ("title", "take", "project", "from", "to", "speed", "tracks", "state", "keep", "note")
    return Sheet(reel, label_code(reel), (("tape", own.stock()), *facts), heads, takes, own.row.tracks, _tracks(own))


def _tracks(own: _Reel) -> tuple[tuple[str, dict[int, str]], ...]:
    """What is on each track, title by title along the tape: the newest take's words, else an older one's."""
    found: dict[str, dict[int, str]] = {}
    newest = sorted(own.takes, key=lambda laid: (own.day(laid.take) or 0, laid.take.at_us or 0, laid.take.entry))
    for laid in own.takes:
        if laid.take.keep not in ("tones", "timecode"):
            found.setdefault(laid.take.title, {})
    for laid in newest:
        if laid.take.title not in found:
            continue
        names = found[laid.take.title]
        for track in numbers(own.house.mask_of(laid.take.reel, laid.take.tracks)):
            names.setdefault(track, "")
        for part in (laid.take.track_names or "").split("; "):
            number, _, name = part.partition(" ")
            if number.isdecimal() and name:
                names[int(number)] = name
    return tuple(found.items())
