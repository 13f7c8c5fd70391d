"""What the session log asks for in one line: a title, a place, the takes to come, a day of overdubs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from stock.core.words import clock
from stock.edge.clock import place
from stock.edge.day_line import day_line
from stock.edge.problems import CellError
from tui.dialogs.ask_line import AskLine


def _needed(what: str) -> Callable[[str], str | None]:
    return lambda text: None if text else f"{what} is needed."


def _read_by(read: Callable[[str], Any], *, empty: bool = False) -> Callable[[str], str | None]:
    """A check by what reads it. empty: whether nothing may stand there."""

    def wrong(text: str) -> str | None:
        if not text and empty:
            return None
        try:
            read(text)
        except CellError as error:
            return str(error)
        return None

    return wrong


def ask_title(named: str) -> AskLine:
    """What a take is called; named: what it is called now, empty for the next one."""
    return AskLine(
        f"What is {named} called?" if named else "What is the next take called?",
        "Title, or Title/3 to give its number as well.",
        do_it="Name it",
        check=_needed("A title"),
    )


def ask_place(running: bool) -> AskLine:
    """Where the tape stands, or where the take that runs ended."""
    return AskLine(
        "Where did the take end?" if running else "Where does the tape stand?",
        "12:40 by the counter, 475 ft from the head, or a timecode",
        check=_read_by(place),
    )


def ask_takes(planned: Sequence[int]) -> AskLine:
    """Which takes are to come."""
    from stock.desk.picking import takes_of

    return AskLine(
        "Which takes are to come?",
        "Playing times: 9:00 x3, 4:30. While one runs, it is the first.",
        typed=", ".join(clock(each) for each in planned),
        do_it="Plan them",
        check=_read_by(lambda text: takes_of([text]), empty=True),
    )


def ask_overdubs(reel: str) -> AskLine:
    """A day of overdubs in one line."""
    return AskLine(
        "What was overdubbed?",
        "tracks 9,12, about 60 passes, 0:30 to 5:10",
        check=_read_by(day_line),
        form="overdubs",
        about=reel,
    )
