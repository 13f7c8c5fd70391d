"""What to do, in order, so that a reel becomes clear or blank; and whether that is known to be enough.

What is transferred already is proved, not transferred again. Nothing is ever given up: that somebody might discard a
take is told beside it, and is no act of this list.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from stock.core.fitness import judge_tape
from stock.core.proving_acts import Act, ActCode, proving_acts
from stock.core.reasons import Reason
from stock.core.spans import Span
from stock.core.verdict import Advice
from stock.core.view import View

SICK = ("sticky", "shedding", "vinegar", "mould")
_LOOKS: dict[str, tuple[ActCode, str]] = {
    "listened": ("listen-tape", "listen to the tape from end to end, all tracks, and enter what you find"),
    "inspection": ("inspect", "inspect the whole reel, and enter what you find"),
}
_LOOK_CODES = {
    "listened": ("content-unknown", "stray-field", "wiped-not-heard"),
    "inspection": ("not-inspected", "batch-suspect"),
}


class Way(NamedTuple):
    """Acts in the order one does them.

    enough: whether they make the reel clear or blank if each goes well and nothing else changes meanwhile. left: codes
    of reasons of which it is not known that they would end.
    """

    acts: tuple[Act, ...]
    enough: bool
    left: tuple[str, ...]


def way_words(way: Way) -> str:
    """What stands over the acts: whether they would do, or what is not known to end. Empty where there is nothing."""
    if way.enough and way.acts:
        all_of = "All of these together, none by itself," if len(way.acts) > 1 else "This"
        return f"{all_of} would make it clear or blank, if all goes well and nothing falls due or is entered meanwhile:"
    if way.enough:
        return ""
    left = ", ".join(way.left)
    if not way.acts:
        return f"No act is known that would make it clear or blank: {left}."
    return f"To do; whether it is enough is not known ({left}). Then ask again:"


def way_to_clear(advice: Advice, speed: int | None = None) -> Way:
    """What to do for one reel; no acts where it is clear or blank already. speed: the one its advice was given at."""
    if advice.verdict in ("clear", "blank"):
        return Way((), True, ())
    recording = [] if advice.erasable == "yes" else _against(advice, "recording")
    kinds = _looks(advice, speed)
    acts: list[Act] = [
        *_others(recording),
        *(proving_acts(advice) if recording else ()),
        *_looking(advice, recording, kinds),
    ]
    left = {reason.code for reason in recording if reason.code in _NOT_KNOWN}
    if recording and _has_stray(advice):
        left.add("unlogged-recording")
    if kinds is None:
        left.update(reason.code for reason in _against(advice, "tape"))
    if any(act.code in _PLAYS for act in acts):
        acts += _specialist(advice)
    order = {code: at for at, code in enumerate(_ORDER)}
    return Way(
        tuple(sorted(acts, key=lambda act: order[act.code])), kinds is not None and not left, tuple(sorted(left))
    )


_NOT_KNOWN = frozenset({"reference-tape", "unlogged-recording", "set-not-clear"})
"""Reasons that no act here is known to end: what is found out, or another reel, decides."""

_PLAYS = frozenset({"listen-tape", "transfer"})
_ORDER: tuple[ActCode, ...] = (
    "specialist",
    "return",
    "end-hold",
    "release",
    "other-reel",
    "say-what",
    "listen-tape",
    "inspect",
    "transfer",
    "read",
    "copy",
    "copies",
    "hear",
    "wait",
)
"""Whoever must be asked is asked first: it takes them time. Nothing but time comes last."""

_OTHERS: dict[str, ActCode] = {
    "not-here": "return",
    "on-hold": "end-hold",
    "no-release": "release",
    "set-not-clear": "other-reel",
    "unlogged-recording": "say-what",
}


def _against(advice: Advice, about: str) -> list[Reason]:
    return [reason for reason in advice.reasons if reason.about == about and reason.severity != "note"]


def _has_stray(advice: Advice) -> bool:
    """Whether something in no take needs nothing because of a take beside it: once that is proved it may need some."""
    claimed: dict[Span, int] = {}
    for claim in advice.recording.claims:
        for lo, hi, mask in (*claim.bare, *(cell for cell, _ in claim.waiting)):
            claimed[lo, hi] = claimed.get((lo, hi), 0) | mask
    return any(mask & ~claimed.get((lo, hi), 0) for lo, hi, mask in advice.recording.kept)


def _others(recording: Iterable[Reason]) -> Iterator[Act]:
    """What is asked of other people, or said of what is on the tape; each once."""
    told = dict.fromkeys((reason.code, reason.remedy) for reason in recording if reason.code in _OTHERS)
    for code, remedy in told:
        yield Act(_OTHERS[code], remedy, (code,))


def _specialist(advice: Advice) -> Iterator[Act]:
    """Sick tape is not played before it is treated."""
    codes = tuple(sorted({reason.code for reason in advice.reasons if reason.code in SICK}))
    if codes:
        yield Act("specialist", "do not play it as it is: treatment is a specialist's work", codes)


def _looks(advice: Advice, speed: int | None) -> tuple[str, ...] | None:
    """The fewest looks at the whole tape that would have it fit for some grade if they found nothing; None for none."""
    if advice.best_grade is not None:
        return ()
    for kinds in (("listened",), ("inspection",), ("listened", "inspection")):
        other = View(advice.view.house.found_sound(advice.reel, kinds), advice.reel)
        if judge_tape(other, speed).best_grade is not None:
            return kinds
    return None


def _looking(advice: Advice, recording: Iterable[Reason], kinds: tuple[str, ...] | None) -> Iterator[Act]:
    """The looks that either question asks for; one listen answers both."""
    given = {reason.code for reason in recording}
    tape = {reason.code for reason in _against(advice, "tape")} if kinds else set()
    for kind, (code, says) in _LOOKS.items():
        codes = tuple(each for each in _LOOK_CODES[kind] if each in given or (kind in (kinds or ()) and each in tape))
        if codes or kind in (kinds or ()):
            yield Act(code, says, codes)
