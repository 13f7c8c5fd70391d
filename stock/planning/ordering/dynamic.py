"""One stock item by itself, with no budget: every way to order it, cheapest first, by a dynamic programme.

It is exact: whole numbers all the way. The least cost of having had so many reels by a week follows from that of the
week before (Wagner and Whitin, Management Science 5(1), 1958; here with bands, cases and several suppliers, so that
orders may also come while there is stock).
"""

from __future__ import annotations

from collections.abc import Sequence

from stock.planning.ordering.model import THOUSAND, Bought, Choice, Task, weight

_FAR = 1 << 60


def most_reels(need: int, choices: Sequence[Choice]) -> int:
    """No best answer buys more: whatever is above the need by the largest band could be left out, and saves money."""
    return need + max((tier.first * choice.case for choice in choices for tier in choice.tiers), default=0)


def steps(choices: Sequence[Choice], most: int) -> int:
    """How much work it is."""
    return sum(most // choice.case for choice in choices) * (most + 1)


def cheapest(task: Task, item: int, *, with_fees: bool = True) -> Bought | None:
    """The cheapest answer for one item, with the other items' choices at 0; None where its need cannot be met.

    with_fees: whether orders cost their fee; without it, the cost is a bound for orders that share fees.
    """
    import numpy as np

    need = task.items[item].need
    own = [(at, choice) for at, choice in enumerate(task.choices) if choice.item == item]
    own.sort(key=lambda pair: (pair[1].week, pair[0]))
    most = most_reels(need[-1] if need else 0, [choice for _, choice in own])
    best = np.full(most + 1, _FAR, dtype=np.int64)
    best[0] = 0
    taken: list[tuple[int, Choice, np.ndarray]] = []
    left = list(own)
    for week, wanted in enumerate(need):
        while left and left[0][1].week <= week:
            at, choice = left.pop(0)
            by = np.zeros(most + 1, dtype=np.int32)
            after = best.copy()
            each = weight(task, choice)
            fee = choice.fee if with_fees else 0
            for tier in choice.tiers:
                for cases in range(tier.first, min(tier.last, most // choice.case) + 1):
                    reels = cases * choice.case
                    cost = THOUSAND * (tier.base + tier.unit * reels + fee) + each * reels
                    found = best[: most + 1 - reels] + cost
                    better = found < after[reels:]
                    after[reels:][better] = found[better]
                    by[reels:][better] = cases
            taken.append((at, choice, by))
            best = after
        best[:wanted] = _FAR
    reels = int(best.argmin())
    if best[reels] >= _FAR // 2:
        return None
    bought = [0] * len(task.choices)
    for at, choice, by in reversed(taken):
        bought[at] = int(by[reels])
        reels -= bought[at] * choice.case
    return tuple(bought)
