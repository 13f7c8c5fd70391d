"""`orders` and `receive`: what is on order, and what came."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, table, width
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.purchases import Standing


@house_command("orders", dated=True, has_json=True)
@click.option("--all", "every", is_flag=True, help="Those that are all here too.")
@click.pass_obj
def orders(settings: Settings, every: bool) -> None:
    """What is on order: how much of it is here, and how late the rest is."""
    from stock.desk.receiving import orders as standings

    with settings.asking() as desk:
        found = [row for row in standings(desk) if every or row.open]
    if settings.as_json:
        say_json({"orders": [_json(row) for row in found]})
        return
    if not found:
        say("Nothing is on order.")
        return
    heads = ["order", "placed", "stock item", "reels", "here", "expected", "", "supplier"]
    for line in table(heads, [_cells(row) for row in found], width()):
        say(line)


def _cells(row: Standing) -> list[str]:
    late = f"{row.late} days late" if row.late else ""
    placed = row.order
    return [
        placed.order,
        _day(placed.day) or "",
        placed.stock_item,
        f"{placed.quantity:5}",
        f"{row.received:4}",
        _day(placed.expected) or "not said",
        late,
        placed.supplier,
    ]


def _json(row: Standing) -> dict[str, Any]:
    from stock.edge.cells import amount_of

    placed = row.order
    return {
        "order": placed.order,
        "date": _day(placed.day),
        "supplier": placed.supplier,
        "stock_item": placed.stock_item,
        "quantity": placed.quantity,
        "received": row.received,
        "open": row.open,
        "unit_price": float(amount_of(placed.unit_price, placed.currency)),
        "currency": placed.currency,
        "expected": _day(placed.expected),
        "late_days": row.late,
        "counted_on": _day(row.counted_on),
    }


def _day(day: int | None) -> str | None:
    from stock.core.moments import date_of

    return None if day is None else date_of(day).isoformat()


@house_command("receive", has_json=True)
@click.argument("order")
@click.option("--quantity", metavar="COUNT", type=click.IntRange(1), help="How many came; else all still to come.")
@click.option("--first-reel", metavar="NUMBER", default="", help="The first one's number; else the next of its kind.")
@click.option("--batch", metavar="TEXT", default="", help="The batch number on the boxes.")
@click.option("--tracks", metavar="COUNT", type=click.IntRange(1), help="The head format; else as its other reels.")
@click.option("--date", metavar="DATE", default="", help="When they came; else now.")
@click.option("--shelf", metavar="TEXT", default="", help="Where they stand.")
@click.option(
    "--arrived-as",
    type=click.Choice(["sealed", "erased", "recorded", "unknown"]),
    default="sealed",
    help="How they came; else sealed.",
)
@click.option("--labels", "labels_file", metavar="FILE", type=click.Path(path_type=Path), help="Their labels as PDF.")
@click.pass_obj
def receive(settings: Settings, /, order: str, labels_file: Path | None, **given: Any) -> None:
    """Enter that reels of an order came: the receipt, and the reels, numbered in sequence, at the order's price."""
    from stock.desk.receiving import receive as enter

    with settings.entering(create=False) as desk:
        receipt, reels = enter(desk, order, **given)
        if labels_file is not None:
            from stock.desk.labels import write_labels

            write_labels(desk, reels, labels_file)
    if settings.as_json:
        say_json({"order": order, "reels": reels, "entries": list(receipt.entries), "line": receipt.line})
        return
    span = reels[0] if len(reels) == 1 else f"{reels[0]} to {reels[-1]}"
    say(f"{len(reels)} of order {order}: {span}, journal line {receipt.line}.")
    if labels_file is not None:
        say(f"Labels: {labels_file}")
    else:
        say(f"Labels to print: reelward labels {' '.join(reels[:3])}{' ...' if len(reels) > 3 else ''} --pdf FILE")
