"""The `on_tape` column of a dump: the stretches of tape a fact lies on, `TAPE:from-to;TAPE:from-to` in metres.

A tape may be called anything, so `%`, `;` and `:` in its name are written `%25`, `%3B`, `%3A`. `none` is a placed fact
that lies on no tape; an empty cell says nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from stock.core.facts import Stretch
from stock.core.measure import METRE
from stock.edge import texts, units
from stock.edge.problems import CellError

_NO_TAPE = "none"
_STRETCH = re.compile(r"([^;:]+):([0-9]{1,7})\.([0-9]{4})-([0-9]{1,7})\.([0-9]{4})")
_ESCAPES = {"%25": "%", "%3B": ";", "%3A": ":"}
_ESCAPED = re.compile("%.{0,2}")
_WANTED = ("a list of stretches of tape in metres", "`A-12:0.0000-762.0000`")


def parse_on_tape(text: str) -> tuple[Stretch, ...] | None:
    """The stretches of an `on_tape` cell, None for an empty one; CellError where it cannot be read."""
    text = text.strip(texts.BLANKS)
    if not text:
        return None
    if text == _NO_TAPE:
        return ()
    return tuple(_stretch(text, item) for item in text.split(";"))


def _stretch(text: str, item: str) -> Stretch:
    found = _STRETCH.fullmatch(item)
    if found is None:
        raise CellError.of(text, "is not a list of stretches of tape", *_WANTED)
    tape, from_m, from_part, to_m, to_part = found.groups()
    lo, hi = int(from_m) * METRE + int(from_part), int(to_m) * METRE + int(to_part)
    if lo > hi or hi > units.LENGTH.most:
        why = "has a stretch that ends before it begins" if lo > hi else "has a place no tape has"
        raise CellError.of(text, why, *_WANTED)
    if "%" in tape:
        escapes = set(_ESCAPED.findall(tape))
        if not escapes <= _ESCAPES.keys():
            raise CellError.of(text, "has a % that stands for nothing", "%25, %3A or %3B in the name of a tape")
        tape = _ESCAPED.sub(lambda escape: _ESCAPES[escape[0]], tape)
    return Stretch(texts.name(tape), lo, hi)


def spell_on_tape(places: Iterable[Stretch]) -> str:
    """The `on_tape` cell of a placed fact."""
    return ";".join(f"{_spell_tape(tape)}:{_metres(lo)}-{_metres(hi)}" for tape, lo, hi in places) or _NO_TAPE


def _spell_tape(tape: str) -> str:
    return tape.replace("%", "%25").replace(";", "%3B").replace(":", "%3A")


def _metres(length: int) -> str:
    return f"{length // METRE}.{length % METRE:04}"
