"""Telling a scanner from a hand: a scanner is a very fast keyboard, and none of its keys may do anything else.

What begins as the code of a label does is held back for a moment, wherever the focus is. Outside a field to type in,
any quick run of keys is: then a label made elsewhere, that says a bare number, is read as well.
"""

from __future__ import annotations

from typing import Generic, NamedTuple, TypeVar

from stock.core.label_code import BEGINS, number_of_code

T = TypeVar("T")

BURST_S = 0.02
"""No hand types two keys closer together than this, but for rolling over two or three; a scanner needs far less."""
LATE_S = 0.08
"""What may lie between two signs of a scan once it has surely begun: a terminal far away passes them on in lumps."""
_SURE = 3
"""So many signs in a quick run outside a field are a scan, not a hand."""
_ENDS = frozenset({"enter", "tab"})
"""What scanners type after a code."""


class Scan(NamedTuple):
    """What was scanned. number: the reel's; None where the label was misread."""

    number: str | None


class Taken(NamedTuple, Generic[T]):
    """What to do now: let these keys do what they do, then take a scan; and look again in so many seconds."""

    let_go: list[T]
    scan: Scan | None = None
    again_s: float | None = None


class Held(NamedTuple, Generic[T]):
    """A key held back, and what it types."""

    key: T
    sign: str


class Scanning(Generic[T]):
    """Takes each key as it comes. burst_s: the longest gap between two keys of a scan; 0 to tell nothing apart."""

    def __init__(self, burst_s: float) -> None:
        self._burst_s = burst_s
        self._held: list[Held[T]] = []
        self._last_s = 0.0
        self._typing = False
        self._repeats = ""

    def take(self, key: T, name: str, sign: str | None, at_s: float, *, typing: bool) -> Taken[T]:
        """Take a key. sign: what it types, if anything. at_s: when. typing: whether the focus is in a field."""
        if not self._burst_s:
            return Taken([key])
        before = self.look(at_s)
        again = self._take(key, name, sign, at_s, typing=typing)
        return Taken([*before.let_go, *again.let_go], again.scan or before.scan, again.again_s)

    def look(self, at_s: float) -> Taken[T]:
        """See whether what is held back is complete, for no key came since."""
        if not self._held:
            return Taken([])
        left_s = self._last_s + self._gap_s - at_s
        return self._end() if left_s <= 0 else Taken([], again_s=left_s)

    @property
    def _text(self) -> str:
        return "".join(held.sign for held in self._held)

    @property
    def _begun(self) -> bool:
        """Whether a scan has surely begun."""
        return self._text.startswith(BEGINS) or (not self._typing and len(self._held) >= _SURE)

    @property
    def _gap_s(self) -> float:
        return LATE_S if self._begun else self._burst_s

    def _take(self, key: T, name: str, sign: str | None, at_s: float, *, typing: bool) -> Taken[T]:
        quick = at_s - self._last_s <= self._burst_s
        self._last_s = at_s
        if self._held and name in _ENDS:
            end = self._end()
            # the key that ends a scan belongs to it
            return end if end.scan is not None else Taken([*end.let_go, key])
        if sign is None or len(sign) != 1 or not sign.isprintable():
            end = self._end()
            return Taken([*end.let_go, key], end.scan)
        if not self._held:
            self._typing = typing
            # a key held down is no scan, however fast it repeats
            repeats = quick and sign == self._repeats
            if repeats or (typing and sign != BEGINS[0]):
                return Taken([key])
            self._repeats = ""
        self._held.append(Held(key, sign))
        text = self._text
        if self._typing and not text.startswith(BEGINS[: len(text)]) and not text.startswith(BEGINS):
            return self._let_go()
        if len(text) > _SURE and len(set(text)) == 1:
            self._repeats = sign
            return self._let_go()
        return Taken([], again_s=self._gap_s)

    def _end(self) -> Taken[T]:
        """What is held back is all there is."""
        text, begun = self._text, self._begun
        number = number_of_code(text)
        if number is None and not (begun and len(text) > _SURE):
            return self._let_go()
        self._held = []
        return Taken([], Scan(text.strip() if number is None and not text.startswith(BEGINS) else number))

    def _let_go(self) -> Taken[T]:
        keys = [held.key for held in self._held]
        self._held = []
        return Taken(keys)
