"""What the shelf will need: the seam between the forecast and the order plan."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Need(NamedTuple):
    """New reels of one stock item needed by the end of each week, net of what comes back, cumulative.

    weeks: day numbers of the weeks' first days. p10, p50, p90, service: quantiles of the running maximum, in reels;
    service is that of the house's service level. minutes_only: what minutes-per-reel arithmetic says. short: chance of
    running short with what is on hand and on order. by_project: median cumulative reels of each project.
    standard_error: of p90, in reels.
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
