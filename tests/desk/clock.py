"""A clock for tests: it goes on by a second each time it is looked at, and can be moved."""

from __future__ import annotations

from datetime import UTC, datetime

from stock.core.moments import instant

DAY_US = 86_400_000_000


class Clock:
    """A clock that starts at 09:00 UTC on 2 March 2026, unless another moment is given."""

    def __init__(self, start: datetime = datetime(2026, 3, 2, 9, tzinfo=UTC)) -> None:
        self.now_us = instant(start)

    def __call__(self) -> int:
        self.now_us += 1_000_000
        return self.now_us
