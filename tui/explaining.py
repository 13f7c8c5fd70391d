"""Why an answer is as it is, in plain words, on a sheet that is kept up: the same wherever it is asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from stock.core.reasons import Reason
    from stock.desk.desk import Desk
    from tui.present.sheet import Said, Told
    from tui.work import WorkingScreen


def open_sheet(screen: WorkingScreen[Any], told: Callable[[], Told]) -> None:
    """Show a sheet. told: reads its title and lines, in a thread, now and whenever something is entered."""

    def show(found: Told) -> None:
        from tui.dialogs.sheet import Sheet

        screen.app.push_screen(Sheet(*found, told))

    screen.ask(told, show)


def why_of_reel(desk: Desk, number: str, speed: int | None = None, here: Reason | None = None) -> Callable[[], Told]:
    """Reads why a reel is not clear and what to do. here: the reason to tell before all else."""

    def told() -> Told:
        from stock.core.reasons import is_same
        from stock.desk.house_rules import rule_values
        from tui.present.sheet import why_sheet, why_title

        (advice,) = desk.advise([number], speed=speed)
        first = next((each for each in advice.reasons if here is not None and is_same(each, here)), None)
        return why_title(advice), why_sheet(advice, rule_values(desk), first, speed)

    return told


def why_of_said(desk: Desk, title: str, said: Callable[[], Sequence[Said]]) -> Callable[[], Told]:
    """Reads what is said with what its codes mean. said: reads it, in the same thread."""

    def told() -> Told:
        from stock.desk.house_rules import rule_values
        from tui.present.sheet import said_sheet

        return title, said_sheet(said(), rule_values(desk))

    return told
