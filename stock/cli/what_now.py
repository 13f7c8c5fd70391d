"""`now`: what the house has to do today, most urgent first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import click

from stock.cli.commands import house_command
from stock.cli.printing import cut, say, say_json, width, wrapped
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.core.now import Group, Task
    from stock.desk.now import Now

_FEW = 6
"""Of a longer group no more is printed, unless all is asked for."""

_SUBJECT = 10


@house_command("now", dated=True, has_json=True)
@click.option("--all", "every", is_flag=True, help="Every line, however many of a kind there are.")
@click.option("--without-needs", is_flag=True, help="Leave the forecast out: sooner, and silent on stock below need.")
@click.pass_obj
def now(settings: Settings, every: bool, without_needs: bool) -> None:
    """What the house has to do today, most urgent first, each with what cures it."""
    from stock.desk.now import Needs, quick_now

    with settings.asking() as desk:
        found = quick_now(desk)
        needs = [] if without_needs else Needs(desk).tasks()
    groups = found.groups(needs)
    if settings.as_json:
        say_json(_answer(found, groups, without_needs))
        return
    for line in _page(found, groups, without_needs, None if every else _FEW, width()):
        say(line)


def _answer(found: Now, groups: Sequence[Group], without_needs: bool) -> dict[str, Any]:
    from stock.cli.answers import day_of

    return {
        "as_of": day_of(found.as_of),
        "count": sum(group.count for group in groups),
        "with_needs": not without_needs,
        "groups": [
            {
                "code": group.code,
                "head": group.head,
                "count": group.count,
                "tasks": [_task_json(task) for task in group.tasks],
            }
            for group in groups
        ],
    }


def _task_json(task: Task) -> dict[str, Any]:
    from stock.core.moments import date_of

    names = ("reel", "transfer", "copy", "hold", "order", "stock_item")
    return {
        **{name: getattr(task, name) or None for name in names},
        "says": task.says,
        "remedy": task.remedy,
        "since": date_of(task.since).isoformat() if task.since is not None else None,
        "count": task.count,
        "cure": task.cure,
    }


def _page(found: Now, groups: Sequence[Group], without_needs: bool, few: int | None, columns: int) -> Iterator[str]:
    from stock.cli.answers import day_of

    for group in groups:
        yield f"{group.head}: {group.count}"
        for task in group.tasks[:few]:
            yield from _lines(task, columns)
        left = len(group.tasks) - len(group.tasks[:few])
        if left:
            yield f"  and {left} more (--all)"
        yield ""
    if without_needs:
        yield "Needs are left out: `reelward forecast` works them out."
    count = sum(group.count for group in groups)
    things = f"{count} thing{'' if count == 1 else 's'} to do" if count else "Nothing to do"
    yield from wrapped(
        f"{things}, as of {day_of(found.as_of)}."
        + (" `--json` has all of each line, and its remedy." if count else ""),
        columns,
    )


def _lines(task: Task, columns: int) -> list[str]:
    from stock.core.moments import date_of

    since = date_of(task.since).isoformat() if task.since is not None else ""
    lead = f"  {cut(task.subject, _SUBJECT):<{_SUBJECT}} {since:<10}  " if task.subject else "  "
    return wrapped(task.line, columns, lead)
