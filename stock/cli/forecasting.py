"""`forecast`: what will have to be bought of each stock item, week by week, with its odds."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, table, width, wrapped
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.forecasting import Told
    from stock.desk.on_hand import NotCounted
    from stock.planning.forecast.answer import ReelFlow
    from stock.planning.need import Need


@house_command("forecast", dated=True, has_json=True)
@click.option("--weeks", metavar="COUNT", default="", help="How many weeks ahead; else the house's rule.")
@click.option("--trials", metavar="COUNT", default="", help="How many trials; else the house's rule.")
@click.option("--seed", metavar="NUMBER", default="", help="Where chance begins: the same gives the same.")
@click.option("--drop", metavar="PROJECT", multiple=True, help="As if it did not happen; again for more.")
@click.option("--speed", metavar="SPEED", default="", help="As if every project ran at it: `30 ips`.")
@click.option(
    "--mode", metavar="MODE", default="", help="As if every project worked so: keep-all, keep-masters, through."
)
@click.pass_obj
def forecast(settings: Settings, /, **given: Any) -> None:
    """What will have to be bought, week by week, with its odds; and where the reels will be."""
    from stock.desk.forecasting import Forecaster, asked_of

    with settings.asking() as desk:
        told = Forecaster(desk).forecast(asked_of(given, desk.context()))
    if settings.as_json:
        say_json(_answer(told))
        return
    for line in _page(told, width()):
        say(line)


def _answer(told: Told) -> dict[str, Any]:
    from stock.cli.answers import day_of

    found = told.forecast
    return {
        "as_of": day_of(told.as_of),
        "trials": told.question.trials,
        "seed": told.question.seed,
        "service_level": told.service / 1000,
        "needs": [_need_json(told, need, flow) for need, flow in zip(found.needs, found.flows, strict=True)],
        "projects": [
            {
                "project": project.project,
                "stock_item": project.stock_item,
                "chance": project.chance / 1000,
                "too_long": found.too_long.get(project.project, 0.0),
            }
            for project in told.ahead
        ],
        "left_out": [{"project": row.project, "column": row.column, "says": row.says} for row in told.left_out],
        "not_counted": [
            {
                "stock_item": row.stock_item,
                "code": row.code,
                "count": row.count,
                "which": list(row.which),
                "says": row.says,
            }
            for row in told.not_counted
        ],
    }


def _need_json(told: Told, need: Need, flow: ReelFlow) -> dict[str, Any]:
    from stock.core.moments import date_of

    shelf = told.shelf(need.stock_item)
    return {
        "stock_item": need.stock_item,
        "on_hand": sum(pool.count for pool in shelf.pools if pool.back is None),
        "due_back": sum(pool.count for pool in shelf.pools if pool.back is not None),
        "on_order": sum(order.count for order in shelf.on_order),
        "weeks": [
            {
                "week": date_of(start).isoformat(),
                "p10": need.p10[at],
                "p50": need.p50[at],
                "p90": need.p90[at],
                "service": need.service[at],
                "minutes_only": need.minutes_only[at],
                "short": round(need.short[at], 4),
                "standard_error": need.standard_error[at],
                **{
                    name: {"p10": spans.p10[at], "p50": spans.p50[at], "p90": spans.p90[at]}
                    for name, spans in (
                        ("shelf", flow.shelf),
                        ("out", flow.out),
                        ("waiting", flow.waiting),
                        ("back", flow.back),
                        ("worn_out", flow.worn_out),
                        ("used", flow.used),
                    )
                },
                "used_by_minutes": flow.by_minutes[at],
                "arrived": flow.arrived[at],
                "by_project": [{"project": name, "reels": reels[at]} for name, reels in need.by_project.items()],
            }
            for at, start in enumerate(need.weeks)
        ],
    }


def _page(told: Told, columns: int) -> Iterator[str]:
    found = told.forecast
    if not told.ahead:
        yield "No projects ahead: nothing to forecast."
    else:
        weeks = len(told.question.weeks)
        yield from wrapped(
            f"New reels to have bought by the end of each week, {weeks} week{'s' if weeks > 1 else ''} ahead: P50 is "
            "as likely too much as too little, P90 is enough nine times in ten. Beside them what minutes per reel "
            "would say, and the chance of running short with what is on hand and on order. Weeks in which nothing "
            "changes are left out.",
            columns,
        )
    for need, flow in zip(found.needs, found.flows, strict=True):
        if told.ahead:
            yield ""
            yield from _item(told, need, flow, columns)
    yield ""
    for line in _left_out(told):
        yield from wrapped(line, columns)
    yield from wrapped(
        f"{told.question.trials} trials, seed {told.question.seed}. Stock and chances are counted strictly: what is "
        f"not sure does not count.",
        columns,
    )


def _item(told: Told, need: Need, flow: ReelFlow, columns: int) -> Iterator[str]:
    from stock.core.moments import date_of
    from stock.desk.forecasting import standing_words

    yield from wrapped(f"{need.stock_item}: {standing_words(told.shelf(need.stock_item))}", columns)
    heads = [
        "week of",
        "P10",
        "P50",
        "P90",
        "minutes",
        "short",
        "shelf",
        "out",
        "waiting",
        "back",
        "worn",
        "arrived",
        "",
    ]
    rows = [
        [
            date_of(start).isoformat(),
            *(str(reels[at]).rjust(3) for reels in (need.p10, need.p50, need.p90)),
            str(need.minutes_only[at]).rjust(7),
            _percent(need.short[at]).rjust(5),
            *(
                str(reels[at]).rjust(len(head))
                for head, reels in (
                    ("shelf", flow.shelf.p50),
                    ("out", flow.out.p50),
                    ("waiting", flow.waiting.p50),
                    ("back", flow.back.p50),
                    ("worn", flow.worn_out.p50),
                )
            ),
            str(flow.arrived[at]).rjust(7),
            "",
        ]
        for at, start in enumerate(need.weeks)
    ]
    changes = [row for at, row in enumerate(rows) if at in (0, len(rows) - 1) or row[1:] != rows[at - 1][1:]]
    yield from table(heads, changes, columns)
    error = max(need.standard_error)
    if error:
        yield from wrapped(
            f"P90 is sure to about {error:g} reel{'s' if error != 1 else ''} (its standard error).", columns
        )
    waste = flow.used.p50[-1] - flow.by_minutes[-1]
    if waste > 0:
        yield from wrapped(
            f"{_reels(flow.used.p50[-1])} put to use by then, new or again (P50); minutes per reel would say "
            f"{flow.by_minutes[-1]}: whole takes leave the tape of {_reels(waste)} unused.",
            columns,
        )
    chances = {project.project: project.chance for project in told.ahead}
    for name, reels in need.by_project.items():
        text = f"{name}: {_reels(reels[-1])} where it happens"
        text += f" ({chances[name] / 10:g} % sure)" if chances[name] < 1000 else ""
        if name in told.forecast.too_long:
            text += f"; a take is longer than a whole reel in {_percent(told.forecast.too_long[name])} of the trials"
        yield from wrapped(text, columns, "  ")
    for line in _not_counted(told, need.stock_item):
        yield from wrapped(line, columns)


def _left_out(told: Told) -> Iterator[str]:
    over = [row.project for row in told.left_out if row.column is None]
    wrong = [f"{row.project} ({row.column}: {row.says})" for row in told.left_out if row.column is not None]
    if wrong:
        yield f"Left out, as they stand: {'; '.join(wrong)}."
    if over:
        yield f"Nothing to buy for: {', '.join(over)}."


def _not_counted(told: Told, stock_item: str) -> Iterator[str]:
    rows = [row for row in told.not_counted if row.stock_item == stock_item]
    if rows:
        yield f"Not counted: {'; '.join(_not_counted_words(row) for row in rows)}."


def _not_counted_words(row: NotCounted) -> str:
    return f"{row.count} {row.says} ({', '.join(row.which)})"


def _reels(count: int) -> str:
    return f"{count} reel{'' if count == 1 else 's'}"


def _percent(share: float) -> str:
    """A chance in whole percent; one that is not quite nothing, or not quite sure, is not rounded to it."""
    if 0 < share < 0.005:
        return "<1 %"
    if 0.995 <= share < 1:
        return ">99 %"
    return f"{share * 100:.0f} %"
