"""Forms left unfinished, in words."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from stock.core.moments import datetime_of
from stock.edge.visible import safe


def when_words(at_us: int, now_us: int, zone: ZoneInfo) -> str:
    """`15:12`, or with its day where that is another than today: `2026-11-23 15:12`."""
    at, now = (datetime_of(each).astimezone(zone) for each in (at_us, now_us))
    return at.strftime("%H:%M" if at.date() == now.date() else "%Y-%m-%d %H:%M")


def taken_up_words(when: str, *, sent: bool) -> str:
    """What a form says that was taken up again. sent: whether it was on its way into the record."""
    if sent:
        return (
            f"Left at {when} on its way into the record: see in the history whether it is there already. "
            "F8 or a click throws this away."
        )
    return f"Left unfinished at {when}, taken up again. F8 or a click throws it away."


def left_words(form: str, about: str, when: str) -> str:
    """A form left unfinished, in a line: `Left unfinished at 15:12: splice on M-0147`."""
    on = f" on {about}" if about else ""
    return safe(f"Left unfinished at {when}: {form.replace('-', ' ')}{on}")
