"""What the house will need to buy, week by week, with its odds: where forecast and order plan meet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Need(NamedTuple):
    """The cumulative net need of new reels of one stock item by the end of each week.

    weeks: day numbers of the week starts; every other tuple has one value for each. p10, p50, p90, service: quantiles
    of the reels that must have been bought by then, reels on order not counted (service: at the house's service level),
    never falling. minutes_only: the median had every minute of every reel been used. short: the chance of running
    short in that week with what is on hand and on order. by_project: the median of the reels each project has taken
    by then, where it happens. standard_error: of p90, in reels.
    """

    stock_item: str
    weeks: tuple[int, ...]
    p10: tuple[int, ...]
    p50: tuple[int, ...]
    p90: tuple[int, ...]
    service: tuple[int, ...]
    minutes_only: tuple[int, ...]
    short: tuple[float, ...]
    by_project: Mapping[str, tuple[int, ...]]
    standard_error: tuple[float, ...]
