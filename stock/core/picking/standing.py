"""What picking needs to know of one reel, whatever is asked: taken from its advice once, and small enough to keep."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple, TypeVar

from stock.core.custody import owners
from stock.core.fitness import GradeFit
from stock.core.picking.counter import counter_of
from stock.core.rules import GRADES, Grade
from stock.core.spans import Span, intersect, union
from stock.core.verdict import Advice, Verdict
from stock.core.view import View

T = TypeVar("T", str | None, int | None)


class Recorded(NamedTuple):
    """How something live was recorded. project: None for a take of none; speed: nominal, None where not stated."""

    in_a_take: bool
    project: str | None
    speed: int | None
    tracks: int


class Standing(NamedTuple):
    """One reel at one actual speed. Lengths and places in tenths of a millimetre, wear in tenths of a pass.

    formulations, widths, batches: of all its pieces of tape (None where not known). reserved: the projects it is kept
    for. against: codes of what speaks against wiping it; faults: of what is wrong with its tape. last: the end of the
    last live recording. zero: the zero mark's place. wiped: places wiped at least once, at least twice and so on.
    splices: places and whether no grade crosses them.
    """

    reel: str
    speed: int
    verdict: Verdict
    formulations: tuple[str | None, ...]
    widths: tuple[int | None, ...]
    batches: tuple[str | None, ...]
    reel_size: int | None
    tracks: int
    owners: tuple[str, ...]
    acquired: int | None
    reserved: tuple[str, ...]
    against: tuple[str, ...]
    faults: tuple[str, ...]
    fits: dict[Grade, GradeFit]
    usable: Span
    wear: tuple[tuple[int, int, int], ...]
    splices: tuple[tuple[int, bool], ...]
    wiped: tuple[tuple[Span, ...], ...]
    recorded: tuple[Recorded, ...]
    last: int
    zero: int
    length: int


def standing(advice: Advice, speed: int) -> Standing:
    """The standing of a reel from its advice, which must have been given at that speed."""
    view = advice.view
    house = view.house
    tapes = sorted({piece.tape for _, piece in view.on_reel}) or [view.reel.reel]
    items = [house.item_of(tape) for tape in tapes]
    own = house.item_of(view.reel.reel)
    kept_for = {
        row.project
        for row in house.keyed("reservations", view.reel.reel)
        if row.until is None or house.as_of.day <= row.until
    }
    against = (reason for reason in advice.reasons if reason.severity != "note")
    codes: dict[str, set[str]] = {"recording": set(), "tape": set()}
    for reason in against:
        codes[reason.about].add(reason.code)
    fitness = advice.fitness
    return Standing(
        reel=advice.reel,
        speed=speed,
        verdict=advice.verdict,
        formulations=_distinct(item.formulation if item is not None else None for item in items),
        widths=_distinct(item.width if item is not None else None for item in items),
        batches=_distinct(house.reel(tape).batch or None for tape in tapes),
        reel_size=getattr(own, "reel_size", None),
        tracks=view.reel.tracks,
        owners=tuple(sorted({(owner or "").strip().casefold() for _, _, owner in owners(view)})),
        acquired=view.reel.acquired,
        reserved=tuple(sorted(kept_for)),
        against=tuple(sorted(codes["recording"])),
        faults=tuple(sorted(codes["tape"])),
        fits={grade: fitness.grades[grade] for grade in GRADES},
        usable=fitness.usable,
        wear=tuple(fitness.wear),
        splices=tuple(sorted({(joint.at, joint.firm) for joint in fitness.joints})),
        wiped=_layers(view),
        recorded=_recorded(advice),
        last=max((atom.hi for atom in advice.recording.live.atoms), default=0),
        zero=counter_of(view).zero,
        length=view.length,
    )


def _distinct(values: Iterable[T]) -> tuple[T, ...]:
    return tuple(sorted(set(values), key=lambda value: (value is not None, value)))


def _layers(view: View) -> tuple[tuple[Span, ...], ...]:
    """The places wiped at least once, at least twice, and so on."""
    layers: list[list[Span]] = []
    for lo, hi, _ in view.spans("wipes", beyond=False):
        over = [(lo, hi)]
        for i, layer in enumerate(layers):
            layers[i], over = union([*layer, *over]), intersect(layer, over)
        if over:
            layers.append(over)
    return tuple(tuple(layer) for layer in layers)


def _recorded(advice: Advice) -> tuple[Recorded, ...]:
    """Everything live on a reel, each way of recording once."""
    house = advice.view.house
    found: dict[Recorded, None] = {}
    for atom in advice.recording.live.atoms:
        for take in atom.owners:
            found[Recorded(True, take.project, take.speed, house.reel(take.reel).tracks)] = None
        for recording in atom.newest:
            row = recording.pass_
            if row is not None:
                found[Recorded(bool(atom.named), None, row.speed, house.reel(row.reel).tracks)] = None
    return tuple(found)
