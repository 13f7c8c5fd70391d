"""When nothing fits: what is there, which takes are too long for it, and what would make room, cheapest first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from stock.core.measure import SECOND, length_of
from stock.core.picking.candidates import Candidate, Free, sort_out
from stock.core.picking.request import Request, footprint
from stock.core.picking.standing import Standing
from stock.core.record import StockItem
from stock.core.rules import GRADES, Rules
from stock.core.verdict import Verdict
from stock.core.words import clock, feet
from stock.planning.plan import plan

MOST_REELS = 40
"""How many reels are looked at for each kind of step, the roomiest first."""

_COPIES = frozenset(
    {
        "too-few-copies",
        "one-medium",
        "none-elsewhere",
        "copy-unchecked",
        "copy-only-stated",
        "copy-check-old",
        "copy-check-failed",
    }
)
_STEPS: tuple[tuple[str, frozenset[str], str], ...] = (
    ("listen-to-files", frozenset({"not-heard"}), "have the files of reel {reel} heard at head, middle and end"),
    ("one-copy-more", _COPIES, "one verified copy more of what is on reel {reel}, on another medium and elsewhere"),
    ("wait", frozenset({"cooling-off"}), "wait until the transfers of reel {reel} are old enough"),
    ("release", frozenset({"no-release"}), "get the release for what is on reel {reel}"),
)
"""Steps that clear a reel: code, the reasons the step ends, and the words."""

_LOOKS: tuple[tuple[str, frozenset[str], str], ...] = (
    ("inspect", frozenset({"not-inspected"}), "inspect reel {reel}, and enter what you find"),
    ("listen", frozenset({"wiped-not-heard"}), "listen to reel {reel}, wiped and not heard since"),
)
"""Steps that may show a reel fit: nobody knows before what they find."""


class Way(NamedTuple):
    """One thing that would make it fit. sure: False where it rests on what would be found.

    reel: the one it is about. take_us: by how much a take is shortened. take: which. reels: how many.
    """

    code: str
    says: str
    sure: bool = True
    reel: str | None = None
    take: int | None = None
    take_us: int | None = None
    reels: int | None = None


class WhyNot(NamedTuple):
    """longest: the longest free stretch and its reel. too_long: takes (by index) longer than any free stretch."""

    longest: tuple[str, Free] | None
    too_long: tuple[int, ...]
    ways: tuple[Way, ...]


def why_not_fit(
    standings: Sequence[Standing],
    request: Request,
    rules: Rules,
    formulations: tuple[str, ...] = (),
    stock: Iterable[StockItem] = (),
) -> WhyNot:
    """Why a request has no plan. stock: what could be bought; formulations: as in `sort_out`."""
    # asked for hardly any tape, a reel without room for a take is still there to be seen, or to hold a shorter one
    found, _ = sort_out(standings, replace(request, takes=(1,)), rules, formulations)
    stretches = [(free.length, candidate.reel, free) for candidate in found for free in candidate.stretches]
    longest = max(stretches, key=lambda row: (row[0], row[1]), default=None)
    room = longest[0] if longest is not None else 0
    lengths = [footprint(take_us, request.speed.actual, rules).length for take_us in request.takes]
    ask = _Asker(standings, request, rules, formulations, found)
    return WhyNot(
        (longest[1], longest[2]) if longest is not None else None,
        tuple(index for index, length in enumerate(lengths) if length > room),
        (*ask.terms(), *ask.shorter(), *ask.grades(), *ask.steps(), *ask.looks(), *ask.bought(stock)),
    )


class _Asker:
    """Asks again with one thing changed."""

    def __init__(
        self,
        standings: Sequence[Standing],
        request: Request,
        rules: Rules,
        formulations: tuple[str, ...],
        found: Sequence[Candidate],
    ) -> None:
        self.standings = standings
        self.request = request
        self.rules = rules
        self.formulations = formulations
        self.found = found

    def _fits(self, request: Request, found: Sequence[Candidate] | None = None) -> bool:
        if found is None:
            found, _ = sort_out(self.standings, request, self.rules, self.formulations)
        return plan(found, request, self.rules, limit_s=0) is not None

    def terms(self) -> Iterator[Way]:
        """What costs no tape: more reels, another order, another formulation besides, reels part used."""
        request = self.request
        if request.reels_most is not None:
            freely = plan(self.found, replace(request, reels_most=None), self.rules, limit_s=0)
            if freely is not None:
                yield Way("more-reels", f"allow {len(freely.reels)} reels", reels=len(freely.reels))
        if not request.any_order and self._fits(replace(request, any_order=True), self.found):
            yield Way("any-order", "record the takes in another order")
        if not request.mix and self._fits(replace(request, mix=True), self.found):
            yield Way("mix", "use reels of several formulations, for which the machine is aligned anew")
        if request.project and not request.part_used and self._fits(replace(request, part_used=True)):
            yield Way("part-used", "let part used reels of the project serve")

    def shorter(self) -> Iterator[Way]:
        """The least by which one take must be shorter, to the second."""
        best: tuple[int, int] | None = None
        longest = sorted(range(len(self.request.takes)), key=lambda take: (-self.request.takes[take], take))[:3]
        for take in longest:
            whole = self.request.takes[take]
            lo, hi = 0, whole // SECOND
            if not self._fits(self._cut(take, hi, whole), self.found):
                continue
            while hi - lo > 1:
                middle = (lo + hi) // 2
                if self._fits(self._cut(take, middle, whole), self.found):
                    hi = middle
                else:
                    lo = middle
            if best is None or hi < best[0]:
                best = hi, take
        if best is not None:
            cut, take = best
            left = clock(max(self.request.takes[take] - cut * SECOND, SECOND))
            says = f"take {take + 1} shorter by {clock(cut * SECOND)}: {left}"
            yield Way("shorter", says, take=take, take_us=cut * SECOND)

    def _cut(self, take: int, seconds: int, whole: int) -> Request:
        takes = list(self.request.takes)
        takes[take] = max(whole - seconds * SECOND, 1)
        return replace(self.request, takes=tuple(takes))

    def grades(self) -> Iterator[Way]:
        """The best of the lesser grades that does."""
        for grade in GRADES[GRADES.index(self.request.grade) + 1 :]:
            if self._fits(replace(self.request, grade=grade)):
                yield Way("lower-grade", f"record it as {grade}")
                return

    def steps(self) -> Iterator[Way]:
        """One act of proof on one reel."""
        for code, ends, words in _STEPS:
            reels = [held for held in self.standings if held.against and set(held.against) <= ends]
            for held in self._roomiest(reels):
                if self._with(held._replace(verdict="clear", against=())):
                    yield Way(code, words.format(reel=held.reel), reel=held.reel)
                    break

    def looks(self) -> Iterator[Way]:
        """One look at one reel that may prove fit."""
        for code, ends, words in _LOOKS:
            reels = [
                held
                for held in self.standings
                if not held.against
                and held.fits[self.request.grade].answer == "unknown"
                and ends <= set(held.faults) <= ends | {"too-many-passes", "too-many-reuses"}
            ]
            for held in self._roomiest(reels):
                fit = held.fits[self.request.grade]._replace(answer="yes", stretches=(held.usable,))
                verdict: Verdict = "clear" if held.recorded else "blank"
                if self._with(held._replace(verdict=verdict, fits={**held.fits, self.request.grade: fit}, faults=())):
                    yield Way(code, words.format(reel=held.reel), sure=False, reel=held.reel)
                    break

    @staticmethod
    def _roomiest(reels: list[Standing]) -> list[Standing]:
        return sorted(reels, key=lambda held: (-held.length, held.reel))[:MOST_REELS]

    def _with(self, held: Standing) -> bool:
        """Whether it fits with one more reel, as it would stand then."""
        more, _ = sort_out([held], self.request, self.rules, self.formulations)
        return bool(more) and self._fits(self.request, [*self.found, *more])

    def bought(self, stock: Iterable[StockItem]) -> Iterator[Way]:
        """The fewest new reels of one stock item that do; of several items those that need the fewest."""
        ways: list[tuple[int, int, str]] = []
        for item in stock:
            unsuited = self.request.width_um is not None and item.width != self.request.width_um
            if unsuited or (self.formulations and item.formulation not in self.formulations):
                continue
            for count in range(1, len(self.request.takes) + 1):
                if self._fits(self.request, [*self.found, *(self._new(item, number) for number in range(count))]):
                    ways.append((count, item.length, item.stock_item))
                    break
        for count, length, name in sorted(ways)[:1]:
            so_many = "one new reel" if count == 1 else f"{count} new reels"
            yield Way("new-reel", f"{so_many} of {name} ({feet(length)})", reels=count)

    def _new(self, item: StockItem, number: int) -> Candidate:
        """A new reel of a stock item, opened for the project."""
        speed, rules = self.request.speed.actual, self.rules
        head = max(length_of(rules.number("unused_head_s"), speed), rules.number("unused_head_length"))
        tail = item.length - length_of(rules.number("unused_tail_s"), speed)
        tones = head, head + length_of(rules.number("tones_s"), speed)
        return Candidate(
            f"\0new {number}",
            item.formulation,
            ("new",),
            None,
            None,
            tones,
            (Free(tones[1], tail, 0, None),) if tones[1] < tail else (),
            ((0, item.length, 0),),
            (),
            (),
            0,
        )
