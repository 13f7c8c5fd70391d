"""How an entry form about a reel begins: what is filled in, and what the reel itself offers.

What is filled in binds or is plain to see. What would loosen an answer (a discard, a severity of 0, a copy elsewhere)
is never filled in, nor chosen among several.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from stock.core.kinds import BY_NAME, Field, Kind
from stock.core.measure import SECOND, Speed, length_of
from stock.core.record import Take
from stock.core.tracks import spell
from stock.core.verdict import Advice
from stock.core.words import speed_words
from stock.desk.beginning import Beginning
from stock.desk.session.loaded import UNTITLED
from stock.edge.visible import safe
from tui.present.readout import place_words
from tui.present.tape import Bar, Tape

_LATER = frozenset({"date", "by"})
"""Left empty, these are now and whoever is acting."""


_AROUND_S = 2
"""Seconds each way that a finding at the cursor is taken to reach."""

_COUNTER_PART = 500
"""A machine's counter is good to about one part in so many of the distance from its zero (common practice)."""

_HELP_MOST = 64
"""Characters of help, at most, with what there is to choose in it."""


class Offer(NamedTuple):
    """What one can choose instead of typing: words, and the cells they fill. chosen: which holds at first, or None."""

    label: str
    choices: tuple[tuple[str, Mapping[str, str]], ...]
    chosen: int | None = None


class Start(NamedTuple):
    """An entry form as it opens. cells: what stands in it, by column."""

    kind: Kind
    cells: Mapping[str, str]
    offers: tuple[Offer, ...]


def label_of(field: Field) -> str:
    """A field's name as the form says it."""
    words = field.name.replace("_", " ").replace(" hz", "").replace(" db", "")
    return words.replace("nwb m", "nWb/m")


def help_of(field: Field) -> str:
    """What to type in a field, or what there is to choose; a letter chooses."""
    said = field.help.replace("`", "")
    listed = ", ".join(field.choices)
    return f"{said}: {listed}".removeprefix(": ") if listed and len(said) + len(listed) < _HELP_MOST else said


def is_needed(field: Field) -> bool:
    """Whether the form cannot do without it; a date and a name left out are now and who is acting."""
    return field.required and field.name not in _LATER


def starting_entry(
    kind_name: str, advice: Advice, tape: Tape, place: int, speed: int, begin: Beginning | None = None
) -> Start:
    """A form about a reel as the map stands: the place of its cursor, the speed it is shown at.

    begin: what goes on from the takes before, and names nobody has given; None leaves those fields empty.
    """
    kind = BY_NAME[kind_name]
    names = {field.name for field in kind.fields}
    cells = {"reel": advice.reel, "speed": speed_words(Speed(speed))}
    takes = _takes(tape, place)
    here = [bar for bar in tape.bars if bar.take is not None and _covers(bar, place)]
    if begin is not None:
        cells |= _carried(kind_name, begin)
    if kind.placed == "point":
        cells["at"] = place_words(place)
    if takes and takes[0].project and kind_name == "take":
        cells.setdefault("project", takes[0].project)
    offers = _offers(kind, advice, tape, place, speed, takes, here, begin)
    for offer in offers:
        if offer.chosen is not None:
            cells.update(offer.choices[offer.chosen][1])
    return Start(kind, {column: text for column, text in cells.items() if column in names}, tuple(offers))


def _carried(kind_name: str, begin: Beginning) -> dict[str, str]:
    """What goes on from the takes before, for the kinds of fact that it is about."""
    carried = begin.carried
    if kind_name == "take":
        named = {"title": carried.title, "take": carried.take} if carried.title != UNTITLED else {}
        return {**named, "project": carried.project, "tracks": carried.tracks, "machine": carried.machine}
    if kind_name in ("pass", "response"):
        return {"machine": carried.machine}
    if kind_name == "reservation":
        return {"project": carried.project}
    return {"hold": {"hold": begin.hold}, "transfer": {"transfer": begin.transfer}}.get(kind_name, {})


def _offers(
    kind: Kind,
    advice: Advice,
    tape: Tape,
    place: int,
    speed: int,
    takes: Sequence[Take],
    here: Sequence[Bar],
    begin: Beginning | None,
) -> list[Offer]:
    """What a form offers to choose from instead of typing."""
    if kind.name == "transfer":
        return [*_formats(begin), _transferred(tape, here)]
    offers: list[Offer] = []
    if kind.placed == "span":
        offers.append(_stretches(kind, tape, place, speed))
    if kind.name == "copy":
        offers.append(_named(advice, "Transfer", "transfers", "transfer", begin.copies if begin else {}))
    elif any(field.name == "transfer" for field in kind.fields):
        offers.append(_named(advice, "Transfer", "transfers", "transfer"))
    if kind.name == "hold-end":
        offers.append(_named(advice, "Hold", "holds", "hold"))
    if kind.name == "decision":
        offers.append(_decided(takes, chosen=bool(here) or len(takes) == 1))
    if kind.name == "release":
        projects = dict.fromkeys(take.project for take in takes if take.project)
        whole = ("the whole reel", {"project": ""})
        offers.append(Offer("Project", (*((safe(name), {"project": name}) for name in projects), whole), 0))
    return offers


def _covers(bar: Bar, place: int) -> bool:
    return any(lo <= place < hi for lo, hi in bar.spans)


def _takes(tape: Tape, place: int) -> list[Take]:
    """The takes on the reel, those at the place first."""
    bars = [bar for bar in tape.bars if bar.take is not None]
    here = [bar for bar in bars if _covers(bar, place)]
    return [bar.take for bar in (*here, *(bar for bar in bars if bar not in here)) if bar.take is not None]


def _stretches(kind: Kind, tape: Tape, place: int, speed: int) -> Offer:
    """Where it lies. What has no end yet is refused until one is typed: no stretch is assumed that nobody meant."""
    on = ("from the cursor on", {"start": place_words(place), "end": ""})
    takes = [
        (f"the take here, {bar.label}", {"start": place_words(bar.lo), "end": place_words(bar.hi)})
        for bar in tape.bars
        if _covers(bar, place)
    ]
    if kind.field("start").required:
        whole = ("all of the tape", {"start": place_words(0), "end": place_words(tape.length)})
    else:
        whole = ("the whole reel", {"start": "", "end": ""})
    if kind.name == "finding" and place:
        around = length_of(_AROUND_S * SECOND, speed) + abs(place - tape.zero) // _COUNTER_PART
        span = {
            "start": place_words(max(place - around, 0)),
            "end": place_words(min(place + around, tape.length)),
        }
        return Offer("Stretch", (("around the cursor", span), on, *takes, whole), 0)
    if kind.name == "pass":
        return Offer("Stretch", (*takes, whole, on), 0)
    return Offer("Stretch", (on, *takes, whole), 0)


def _formats(begin: Beginning | None) -> list[Offer]:
    """The formats of the newest transfers; none is chosen, for a format that is too low is a reason."""
    if begin is None or not begin.formats:
        return []
    choices = tuple(
        (f"{rate}, {depth} bit", {"sample_rate_hz": rate, "bit_depth": depth}) for rate, depth in begin.formats
    )
    return [Offer("Files", choices)]


def _transferred(tape: Tape, here: Sequence[Bar]) -> Offer:
    """What was copied: the take at the cursor, or all that is recorded. The files must be as long, with all tracks."""
    choices = [(f"the take here, {bar.label}", _copied([bar])) for bar in here]
    if tape.bars:
        choices.append(("all that is recorded", _copied(tape.bars)))
    choices.append(("all of the tape", {"start": place_words(0), "end": place_words(tape.length)}))
    return Offer("Stretch", tuple(choices), 0)


def _copied(bars: Sequence[Bar]) -> dict[str, str]:
    mask = 0
    for bar in bars:
        mask |= bar.mask
    lo, hi = min(bar.lo for bar in bars), max(bar.hi for bar in bars)
    return {"start": place_words(lo), "end": place_words(hi), "tracks": spell(mask)}


def _named(advice: Advice, label: str, file: str, column: str, others: Mapping[str, str] | None = None) -> Offer:
    """The names of a kind on the reel, newest first; a single one is chosen. others: the copy's name for each."""
    rows = {row.entry: getattr(row, column) for _, _, row in advice.view.spans(file)}
    names = list(dict.fromkeys(rows[entry] for entry in sorted(rows, reverse=True)))
    more = {name: {"copy": copy} for name, copy in (others or {}).items()}
    return Offer(
        label,
        tuple((safe(name), {column: name, **more.get(name, {})}) for name in names),
        0 if len(names) == 1 else None,
    )


def _decided(takes: Sequence[Take], *, chosen: bool) -> Offer:
    choices = tuple(
        (
            safe(f"{take.title}/{take.take}{f' for {take.project}' if take.project else ''}"),
            {"project": take.project or "", "title": take.title, "take": take.take},
        )
        for take in takes
    )
    return Offer("Take", choices, 0 if chosen else None)
