"""How long order plans take and how far they are from proved: `python -m tests.bench.bench_order`.

Houses of some stock items, suppliers with three bands, cases, minimums, and fees shared by an order, over half a year
or a year; with and without a budget by month that bites. Numbers are drawn with a fixed seed.
"""

from __future__ import annotations

from random import Random
from time import perf_counter

from stock.planning.need import Need
from stock.planning.ordering.ask import Ask, month_of
from stock.planning.ordering.offers import Offer
from stock.planning.ordering.plan import plan

TODAY = 20_780


def house(seed: int, items: int, suppliers: int, weeks: int, fee: int) -> tuple[list[Need], list[Offer]]:
    random = Random(seed)
    starts = tuple(TODAY + 3 + 7 * week for week in range(weeks))
    needs, offers = [], []
    for item in range(items):
        name = f"item {item}"
        reels, total = [], 0
        for week in range(weeks):
            total += random.choice([0, 0, 0, 1, 2, 6]) if week > 5 else 0
            reels.append(total)
        same = tuple(reels)
        needs.append(Need(name, starts, same, same, same, same, same, (0.0,) * weeks, {}, (0.0,) * weeks))
        price = random.randint(5_000, 25_000)
        for supplier in range(suppliers):
            own = price + random.randint(-1_500, 1_500)
            breaks = ((1, own), (random.randint(5, 9), own * 95 // 100), (random.randint(12, 24), own * 90 // 100))
            offers.append(
                Offer(
                    f"supplier {supplier}", name, "EUR", breaks, random.random() < 0.5, random.choice([1, 2, 4]),
                    random.choice([1, 1, 2, 4]), fee, 20, random.choice([7, 21, 35]), None,
                )
            )  # fmt: skip
    return needs, offers


def main() -> None:
    print(f"{'items':>5} {'suppliers':>9} {'weeks':>5} {'fee':>6} {'budget':>7} {'seconds':>8} {'gap':>8}  proved")
    for items, suppliers, weeks, fee in ((1, 4, 52, 1800), (6, 4, 26, 0), (3, 3, 26, 1800), (6, 4, 26, 1800)):
        for share in (None, 0.7):
            needs, offers = house(items * 100 + weeks, items, suppliers, weeks, fee)
            ask = Ask(needs, offers, TODAY)
            began = perf_counter()
            made = plan(ask)
            if share is not None:
                months = {month_of(line.order_by) for line in made.lines}
                most = max(sum(line.cost for line in made.lines if month_of(line.order_by) == each) for each in months)
                first, last = month_of(TODAY), month_of(needs[0].weeks[-1])
                ask.budgets = {month: int(most * share) for month in range(first, last + 1)}
                began = perf_counter()
                made = plan(ask)
            took = perf_counter() - began
            gap = "-" if made.gap is None else f"{made.gap * 100:.2f} %"
            print(
                f"{items:5} {suppliers:9} {weeks:5} {fee / 100:6.2f} {share or '':>7} {took:8.2f} {gap:>8}  "
                f"{'yes' if made.optimal else 'no'}{', short' if made.shortages else ''}",
                flush=True,
            )


if __name__ == "__main__":
    main()
