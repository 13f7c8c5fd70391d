"""`show`: one reel with its facts, its map, its verdict and its history."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

import click

from stock.cli.advising import reasons_page
from stock.cli.answers import advice_json, day_of, in_feet, owner_names, reel_json, width_in
from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, width, wrapped
from stock.cli.settings import Settings
from stock.cli.take_proofs import proof_json, proof_page
from stock.cli.tape_map import tape_map
from stock.cli.tape_words import tape_sentences
from stock.core.measure import IPS, time_of
from stock.core.moments import date_of
from stock.core.record import Move
from stock.core.tracks import numbers
from stock.core.verdict import Advice
from stock.core.words import clock, feet, stretch

if TYPE_CHECKING:
    from stock.desk.history import HistoryLine

_NAMED = 14


@house_command("show", dated=True, has_json=True)
@click.argument("reel")
@click.option("--in-words", is_flag=True, help="Tell the tape in sentences instead of drawing it.")
@click.pass_obj
def show(settings: Settings, reel: str, in_words: bool) -> None:
    """One reel: what it is, the verdict with all reasons, a map along the tape, and all that is recorded about it."""
    from stock.desk.measuring import bought as bought_of

    number = reel.strip()
    with settings.asking() as desk:
        (advice,) = desk.advise([number])
        lines = desk.history(number)
        bought = bought_of(desk, advice)
    if settings.as_json:
        say_json(_answer(advice, bought, lines))
        return
    columns_wide = width()
    tape = tape_sentences if in_words or settings.in_words else tape_map
    for line in _page(advice, bought, lines, columns_wide, tape):
        say(line)


def _price(bought: dict[str, Any]) -> str:
    from stock.edge.words import money_words

    if bought["price"] is None or bought["currency"] is None:
        return ""
    return money_words(bought["price"], bought["currency"])


def _page(
    advice: Advice,
    bought: dict[str, Any],
    lines: list[HistoryLine],
    wide: int,
    tape: Callable[[Advice, int], list[str]],
) -> Iterator[str]:
    yield from _facts(advice, bought, wide)
    yield ""
    yield from reasons_page(advice, wide)
    yield ""
    yield from proof_page(advice, wide)
    yield from tape(advice, wide)
    yield ""
    yield f"History, as of {day_of(advice.view.house.as_of)}, oldest first:"
    for line in lines:
        yield from _history_lines(advice, line, wide)


def _facts(advice: Advice, bought: dict[str, Any], wide: int) -> Iterator[str]:
    """What the reel is, a line for each thing that is stated."""
    view = advice.view
    reel, house = view.reel, view.house
    formulation, wide_in = house.formulation_of(reel.reel), width_in(advice)
    stock = [reel.stock_item]
    if formulation is not None:
        base = f" ({formulation.base} base)" if formulation.base else ""
        stock.append(f"{formulation.formulation}{base}")
    if wide_in is not None:
        stock.append(f"{wide_in:g} in wide")
    playing = ", ".join(f"{clock(time_of(view.length, ips * IPS))} at {ips} ips" for ips in (15, 30))
    came = [date_of(reel.acquired).isoformat()] if reel.acquired is not None else []
    came += [reel.arrived_as] if reel.arrived_as else []
    came += [f"{reel.passes_before} passes before"] if reel.passes_before is not None else []
    price, seller = _price(bought), bought["supplier"]
    bought_words = " from ".join(part for part in (price, seller) if part)
    said = [
        ("reel", reel.reel),
        ("stock", ", ".join(stock)),
        ("tracks", str(reel.tracks)),
        ("length", f"{feet(view.length)}: {playing}"),
        ("owner", ", ".join(owner_names(advice)) or "not stated"),
        ("batch", reel.batch or ""),
        ("role", reel.role or ""),
        ("shelf", reel.shelf or ""),
        ("wound", bought["wind"] or ""),
        ("moved", _moved(advice)),
        ("came", ", ".join(came)),
        ("bought", bought_words),
        ("reserved", _reserved(advice)),
        ("note", reel.note or ""),
    ]
    for name, words in said:
        if words:
            yield from wrapped(words, wide, f"{name:{_NAMED}}")
    if len(view.on_reel) > 1:
        for start, piece in view.on_reel:
            end = start + piece.hi - piece.lo
            words = f"{feet(start)} to {feet(end)}: tape of {piece.tape}, its {feet(piece.lo)} to {feet(piece.hi)}"
            yield from wrapped(words, wide, f"{'piece':{_NAMED}}")


def _moved(advice: Advice) -> str:
    """The newest move; the verdict's reasons say whether it is here."""
    house = advice.view.house
    moves: list[Move] = house.keyed("moves", advice.reel)
    if not moves:
        return ""
    newest = max(moves, key=lambda move: (house.calendar.loosens(move.day, move.at_us), move.entry))
    day = house.calendar.local_day(newest.day, newest.at_us)
    to = f" to {newest.to}" if newest.to else ""
    return f"{newest.kind}{to}" + (f", {date_of(day).isoformat()}" if day is not None else "")


def _reserved(advice: Advice) -> str:
    house = advice.view.house
    running = [
        row for row in house.keyed("reservations", advice.reel) if row.until is None or house.as_of.day <= row.until
    ]
    ends = {row.project: f" until {date_of(row.until).isoformat()}" if row.until is not None else "" for row in running}
    return ", ".join(f"for {project}{end}" for project, end in sorted(ends.items()))


def _history_lines(advice: Advice, line: HistoryLine, wide: int) -> Iterator[str]:
    speed = advice.view.house.rules.number("usual_speed")
    where = "; ".join(
        f"{stretch(lo, hi, speed)} ({feet(lo)} to {feet(hi)})" if lo < hi else f"{stretch(lo, lo, speed).split(' ')[0]}"
        for lo, hi in line.spans
        if (lo, hi) != (0, advice.view.length)
    )
    parts = [line.says, where and f"at {where}", line.by and f"by {line.by}", line.note and f"note: {line.note}"]
    words = f"{line.kind.name} #{line.entry}: " + ", ".join(part for part in parts if part)
    if line.voided is not None:
        entry, reason, by = line.voided
        words += f" (voided: {reason}, {by}, #{entry})"
    yield from wrapped(words, wide, f"{line.when:16}  ")


def _answer(advice: Advice, bought: dict[str, Any], lines: list[HistoryLine]) -> dict[str, Any]:
    view = advice.view
    reel, house = view.reel, view.house
    return {
        "as_of": day_of(house.as_of),
        **advice_json(advice),
        **reel_json(advice),
        "wind": bought["wind"],
        "acquired": date_of(reel.acquired).isoformat() if reel.acquired is not None else None,
        "arrived_as": reel.arrived_as,
        "passes_before": reel.passes_before,
        "price": _price(bought) or None,
        "supplier": bought["supplier"],
        "pieces": [
            {
                "tape": piece.tape,
                "start_ft": in_feet(start),
                "end_ft": in_feet(start + piece.hi - piece.lo),
                "tape_start_ft": in_feet(piece.lo),
                "tape_end_ft": in_feet(piece.hi),
            }
            for start, piece in view.on_reel
        ],
        "takes": [
            {
                "label": claim.label.removeprefix("take "),
                "entry": claim.take.entry if claim.take is not None else None,
                "safe": not (claim.bare or claim.waiting),
                "live": [
                    {"start_ft": in_feet(lo), "end_ft": in_feet(hi), "tracks": list(numbers(mask))}
                    for lo, hi, mask in claim.live
                ],
            }
            for claim in advice.recording.claims
        ],
        "proof": proof_json(advice),
        "wear": [
            {"start_ft": in_feet(lo), "end_ft": in_feet(hi), "passes": tenths / 10}
            for lo, hi, tenths in advice.fitness.wear
        ],
        "history": [
            {
                "entry": line.entry,
                "kind": line.kind.name,
                "when": line.when,
                "says": line.says,
                "by": line.by,
                "note": line.note,
                "places_ft": [[in_feet(lo), in_feet(hi)] for lo, hi in line.spans],
                "voided": {"by_entry": line.voided[0], "reason": line.voided[1], "by": line.voided[2]}
                if line.voided is not None
                else None,
            }
            for line in lines
        ],
    }
