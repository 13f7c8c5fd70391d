"""`pick`: which reels to use for takes, and where on them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING, Any

import click

from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, table, width, wrapped
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.picking import Picked

_MOST_SHOWN = 8


@house_command("pick", dated=True, has_json=True)
@click.option(
    "--take", "takes", metavar="TIME[xN]", multiple=True, required=True, help="`9:00`, `4:30x3`; again for more."
)
@click.option("--speed", metavar="SPEED", required=True, help="`15 ips`, `38.1 cm/s`.")
@click.option("--width", "tape_width", metavar="WIDTH", default="", help="`2 in`.")
@click.option("--tracks", metavar="COUNT", default="", help="The head format: how many tracks.")
@click.option("--largest-reel", metavar="SIZE", default="", help="The largest reel the machine takes, `10.5 in`.")
@click.option("--grade", metavar="GRADE", default="standard", help="critical, standard (if not said) or scratch.")
@click.option("--project", metavar="NAME", default="", help="For whom: its reserved and part-used reels may serve.")
@click.option("--owner", metavar="NAME", default="house", help="Whose reels; else the house's.")
@click.option("--formulation", "formulations", metavar="NAME", multiple=True, help="One allowed; again for more.")
@click.option("--reels", metavar="COUNT", default="", help="How many reels at most.")
@click.option("--part-used", is_flag=True, help="Part-used reels of the project may serve.")
@click.option("--mix", is_flag=True, help="Reels of several formulations may serve together.")
@click.option("--any-order", is_flag=True, help="The takes may come in any order.")
@click.pass_obj
def pick(settings: Settings, /, takes: tuple[str, ...], tape_width: str, **given: Any) -> None:
    """Pick reels for takes: the fewest, and where each take goes. Exit status 1 when nothing fits."""
    from stock.desk.picking import pick as answer
    from stock.desk.picking import placement_json, request_of

    with settings.asking() as desk:
        request = request_of({"takes": takes, "width": tape_width, **given}, desk.context())
        picked = answer(desk, request)
    plan = picked.plan
    if settings.as_json:
        told = None
        if plan is not None:
            told = {
                "reels": list(plan.reels),
                "proved_fewest": plan.proved_fewest,
                "bound": plan.bound,
                "placements": [placement_json(picked, placement) for placement in plan.placements],
                "wipe_first": [{"reel": reel, "how": how} for reel, how in plan.wipe_first],
                "spare_s": {reel: _seconds(picked, left) for reel, left in plan.spare.items()},
            }
        say_json(
            {
                "plan": told,
                "candidates": [_candidate_json(picked, row) for row in picked.ranked],
                "rejected": [{"reel": row.reel, "codes": list(row.codes), "says": row.says} for row in picked.rejected],
                "hints": picked.hints,
                "ways": [way._asdict() for way in picked.ways],
            }
        )
    else:
        for line in _page(picked, width()):
            say(line)
    if plan is None:
        click.get_current_context().exit(1)


def _seconds(picked: Picked, length: int) -> float:
    from stock.core.measure import time_of

    return round(time_of(length, picked.request.speed.actual) / 1_000_000, 1)


def _candidate_json(picked: Picked, row: Any) -> dict[str, Any]:
    return {
        "reel": row.candidate.reel,
        "longest_s": _seconds(picked, row.longest.length),
        "passes_max": row.longest.wear / 10,
        "wipe_first": row.candidate.wipe,
        "takes": len(row.takes),
    }


def _page(picked: Picked, columns: int) -> Iterator[str]:
    from stock.core.measure import time_of
    from stock.core.words import clock, feet, speed_words

    request, plan = picked.request, picked.plan
    speed = request.speed
    runs = [(take, len(list(run))) for take, run in groupby(request.takes)]
    asked = ", ".join(clock(take) + (f"x{count}" if count > 1 else "") for take, count in runs)
    yield from wrapped(f"For {asked} at {speed_words(speed)}, {request.grade}:", columns)
    if plan is None:
        yield "nothing fits."
        for hint in picked.hints:
            yield from wrapped(hint, columns, "  - ")
    else:
        count = f"{len(plan.reels)} reel{'s' if len(plan.reels) > 1 else ''}"
        proved = "proved the fewest" if plan.proved_fewest else f"at least {plan.bound} are needed"
        yield f"{count}, {proved}: {', '.join(plan.reels)}"
        for reel, how in plan.wipe_first:
            yield f"  wipe {reel} first{' in bulk' if how == 'bulk' else ''}: reelward wipe permit {reel}"
        rows = []
        for placement in plan.placements:
            code = picked.code(placement, placement.start)
            rows.append(
                [
                    str(placement.take + 1),
                    clock(request.takes[placement.take]),
                    placement.reel,
                    picked.counter_time(placement, placement.start),
                    picked.counter_time(placement, placement.end),
                    feet(placement.start),
                    clock(time_of(placement.margin, speed.actual)),
                    f"{placement.wear // 10} passes"
                    + (f", splice at {feet(placement.splice)}" if placement.splice is not None else "")
                    + (f", code {code}" if code else ""),
                ]
            )
        yield ""
        yield from table(["take", "lasts", "reel", "start", "end", "feet", "to spare", "worst there"], rows, columns)
    if picked.ranked:
        yield ""
        yield "Reels that may serve, best first:"
        for row in picked.ranked[:_MOST_SHOWN]:
            wipe = ", wipe it first" if row.candidate.wipe is not None else ""
            longest = clock(time_of(row.longest.length, speed.actual))
            yield f"  {row.candidate.reel}: {longest} free, {row.longest.wear // 10} passes{wipe}"
        if len(picked.ranked) > _MOST_SHOWN:
            yield f"  and {len(picked.ranked) - _MOST_SHOWN} more"
    yield ""
    yield from wrapped(f"{len(picked.rejected)} reels may not serve: `--json` says of each why not.", columns)
