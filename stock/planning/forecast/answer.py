"""The answer of a forecast, in whole reels by week."""

from __future__ import annotations

from typing import NamedTuple

from stock.planning.need import Need


class Spans(NamedTuple):
    """A number of reels at the end of each week: its tenth, fiftieth and ninetieth percentile."""

    p10: tuple[int, ...]
    p50: tuple[int, ...]
    p90: tuple[int, ...]


class ReelFlow(NamedTuple):
    """Where the reels of one stock item are at the end of each week. back, used, bought: so far; used: reels put to
    use, new or again. by_minutes: the median of `used` had every minute of every reel been used. arrived: ordered
    reels that have come by then. started: reels there were."""

    stock_item: str
    weeks: tuple[int, ...]
    shelf: Spans
    out: Spans
    waiting: Spans
    worn_out: Spans
    back: Spans
    used: Spans
    by_minutes: tuple[int, ...]
    arrived: tuple[int, ...]
    started: int


class Forecast(NamedTuple):
    """The answer. too_long: projects with a take longer than any reel they record on, and the chance of it."""

    needs: tuple[Need, ...]
    flows: tuple[ReelFlow, ...]
    too_long: dict[str, float]
