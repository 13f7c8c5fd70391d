"""How an entry form about a reel begins: its kinds, what is filled in, and what the reel itself offers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from stock.core.kinds import BY_NAME, KINDS, Field, Kind
from stock.core.measure import Speed
from stock.core.record import Take
from stock.core.verdict import Advice
from stock.core.words import speed_words
from stock.desk.desk import GUARDED
from stock.edge.visible import safe
from tui.present.readout import place_words
from tui.present.tape import Tape

_FIRST = (
    "pass",
    "splice",
    "finding",
    "take",
    "decision",
    "hold",
    "hold-end",
    "release",
    "transfer",
    "listen",
    "move",
    "zero-mark",
    "edit",
)
_NOT_OF_A_REEL = frozenset(
    {"formulation", "stock-item", "machine", "reel", "project", "quote", "order", "receipt", "rule"}
)
_LATER = frozenset({"date", "by"})
"""Left empty, these are now and whoever is acting."""


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


def kinds_of_a_reel() -> list[Kind]:
    """The kinds of fact that are entered about a reel, those entered daily first."""
    others = [kind.name for kind in KINDS if kind.name not in (*_FIRST, *_NOT_OF_A_REEL, *GUARDED)]
    return [BY_NAME[name] for name in (*_FIRST, *others)]


def kinds_found(typed: str) -> list[Kind]:
    """The kinds whose name begins with what was typed, then those one of whose words does."""
    wanted = " ".join(typed.replace("-", " ").split()).casefold()
    first, second = [], []
    for kind in kinds_of_a_reel():
        name = kind.name.replace("-", " ")
        if name.startswith(wanted):
            first.append(kind)
        elif any(word.startswith(wanted) for word in f"{name} {kind.help}".casefold().split()):
            second.append(kind)
    return [*first, *second]


def label_of(field: Field) -> str:
    """A field's name as the form says it."""
    words = field.name.replace("_", " ").replace(" hz", "").replace(" db", "")
    return words.replace("nwb m", "nWb/m")


def is_needed(field: Field) -> bool:
    """Whether the form cannot do without it; a date and a name left out are now and who is acting."""
    return field.required and field.name not in _LATER


def starting_entry(kind_name: str, advice: Advice, tape: Tape, place: int, speed: int) -> Start:
    """A form about a reel as the map stands: the place of its cursor, the speed it is shown at."""
    kind = BY_NAME[kind_name]
    names = {field.name for field in kind.fields}
    cells = {"reel": advice.reel, "speed": speed_words(Speed(speed))}
    offers: list[Offer] = []
    takes = _takes(tape, place)
    if kind.placed == "point":
        cells["at"] = place_words(place)
    elif kind.placed == "span":
        offers.append(_stretches(kind, tape, place))
    if "transfer" in names and kind_name != "transfer":
        offers.append(_named(advice, "Transfer", "transfers", "transfer"))
    if kind_name == "hold-end":
        offers.append(_named(advice, "Hold", "holds", "hold"))
    if kind_name == "decision":
        offers.append(_decided(takes))
    if kind_name == "release":
        projects = dict.fromkeys(take.project for take in takes if take.project)
        whole = ("the whole reel", {"project": ""})
        offers.append(Offer("Project", (whole, *((safe(name), {"project": name}) for name in projects)), 0))
    if kind_name == "take" and takes and takes[0].project:
        cells["project"] = takes[0].project
    for offer in offers:
        if offer.chosen is not None:
            cells.update(offer.choices[offer.chosen][1])
    return Start(kind, {column: text for column, text in cells.items() if column in names}, tuple(offers))


def _takes(tape: Tape, place: int) -> list[Take]:
    """The takes on the reel, those at the place first."""
    bars = [bar for bar in tape.bars if bar.take is not None]
    here = [bar for bar in bars if any(lo <= place < hi for lo, hi in bar.spans)]
    return [bar.take for bar in (*here, *(bar for bar in bars if bar not in here)) if bar.take is not None]


def _stretches(kind: Kind, tape: Tape, place: int) -> Offer:
    choices = [("from the cursor on", {"start": place_words(place), "end": ""})]
    for bar in tape.bars:
        if any(lo <= place < hi for lo, hi in bar.spans):
            span = {"start": place_words(bar.lo), "end": place_words(bar.hi)}
            choices.append((f"the take here, {bar.label}", span))
    if not kind.field("start").required:
        choices.append(("the whole reel", {"start": "", "end": ""}))
    else:
        choices.append(("all of the tape", {"start": place_words(0), "end": place_words(tape.length)}))
    return Offer("Stretch", tuple(choices), 0)


def _named(advice: Advice, label: str, file: str, column: str) -> Offer:
    rows = {row.entry: getattr(row, column) for _, _, row in advice.view.spans(file)}
    names = list(dict.fromkeys(rows[entry] for entry in sorted(rows, reverse=True)))
    return Offer(label, tuple((safe(name), {column: name}) for name in names), 0 if names else None)


def _decided(takes: list[Take]) -> Offer:
    choices = tuple(
        (
            safe(f"{take.title}/{take.take}{f' for {take.project}' if take.project else ''}"),
            {"project": take.project or "", "title": take.title, "take": take.take},
        )
        for take in takes
    )
    return Offer("Take", choices, 0 if choices else None)
