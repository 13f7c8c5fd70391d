"""`reels`: the list of reels."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import click

from stock.cli.answers import day_of, in_feet, offered, owner_names, reel_json
from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, signed, table, width
from stock.cli.settings import Settings
from stock.core.verdict import VERDICTS, Advice
from stock.core.words import feet


@house_command("reels", dated=True, has_json=True)
@click.option("--verdict", "verdicts", type=click.Choice(VERDICTS), multiple=True, help="Only these (may be repeated).")
@click.option(
    "--text",
    "words",
    metavar="WORDS",
    default="",
    help="Only reels with all these words in number, stock, batch, owner, role, shelf, note, projects or titles.",
)
@click.pass_obj
def reels(settings: Settings, verdicts: tuple[str, ...], words: str) -> None:
    """List the reels, all of them or those asked for."""
    wanted = words.casefold().split()
    with settings.asking() as desk:
        answers, day = desk.advise(), day_of(desk.as_of())
    found = (
        advice
        for advice in answers
        if (not verdicts or advice.verdict in verdicts) and (not wanted or _holds(advice, wanted))
    )
    if settings.as_json:
        say_json({"as_of": day, "reels": map(_reel_json, found)})
        return
    heads = ("reel", "verdict", "stock item", "trk", "length", "shelf", "note")
    rows = [_row(advice) for advice in found]
    if rows:
        for line in table(heads, rows, width()):
            say(line)
        say()
    say(f"{len(rows)} reel{'' if len(rows) == 1 else 's'}, as of {day}.")


def _holds(advice: Advice, wanted: list[str]) -> bool:
    text = "\n".join(_texts(advice)).casefold()
    return all(word in text for word in wanted)


def _texts(advice: Advice) -> Iterator[str]:
    """All words a reel is found by."""
    reel, formulation = advice.view.reel, advice.view.house.formulation_of(advice.reel)
    yield from (advice.reel, reel.stock_item, formulation.formulation if formulation else "")
    yield from (text for text in (reel.batch, reel.role, reel.shelf, reel.note) if text)
    yield from owner_names(advice)
    for claim in advice.recording.claims:
        yield claim.label
        if claim.take is not None and claim.take.project:
            yield claim.take.project


def _row(advice: Advice) -> tuple[str, ...]:
    reel = advice.view.reel
    return (
        advice.reel,
        signed(advice.verdict),
        reel.stock_item,
        str(reel.tracks),
        feet(advice.view.length),
        reel.shelf or "",
        reel.note or "",
    )


def _reel_json(advice: Advice) -> dict[str, Any]:
    best = offered(advice)
    return {
        "reel": advice.reel,
        "verdict": advice.verdict,
        "grade": best[0] if best else None,
        "length_ft": in_feet(advice.view.length),
        **reel_json(advice),
    }
