"""What a screen tells, as lines of text: all of it, also what is scrolled out of sight."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap
from typing import Protocol, runtime_checkable

from textual.containers import Horizontal
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Button, DirectoryTree, Input, OptionList, Select, Static

WIDTH = 100
"""Columns that lines are laid out for."""


@runtime_checkable
class Reporting(Protocol):
    """A widget that knows what it tells."""

    def report_lines(self, width: int) -> list[str]:
        """All it tells, in lines of about so many columns."""
        ...


def lines_of(widget: Widget) -> list[str]:
    """All that a widget and those in it tell, head to foot; keys and buttons tell nothing."""
    if not widget.display:
        return []
    own = _own(widget)
    if own is not None:
        return own
    parts = [lines for child in widget.children if (lines := lines_of(child))]
    if isinstance(widget, Horizontal) and all(len(lines) == 1 for lines in parts):
        return ["  ".join(lines[0] for lines in parts)] if parts else []
    return [line for lines in parts for line in lines]


def _own(widget: Widget) -> list[str] | None:
    """What the widget itself tells; None where those in it do."""
    if isinstance(widget, Reporting):
        return widget.report_lines(WIDTH)
    if isinstance(widget, Button | DirectoryTree):
        return []
    if isinstance(widget, Input):
        return [widget.value or f"({widget.placeholder or 'empty'})"]
    if isinstance(widget, Select):
        return [str(label.content) for label in widget.query("SelectCurrent #label").results(Static)]
    if isinstance(widget, OptionList):
        return [line for option in widget.options for line in str(option.prompt).splitlines()]
    if isinstance(widget, Static):
        return [part for line in str(widget.content).splitlines() if line.strip() for part in _folded(line)]
    if widget.children:
        return None
    shown = widget.render()
    return [line for line in shown.plain.splitlines() if line.strip()] if isinstance(shown, Content) else []


def _folded(line: str) -> list[str]:
    """A line, broken at spaces where it is too long, its later parts beginning where its words do."""
    if len(line) <= WIDTH:
        return [line]
    return wrap(line, WIDTH, subsequent_indent=" " * (len(line) - len(line.lstrip())), drop_whitespace=True)


def without_room(lines: list[str]) -> Iterator[str]:
    """The lines with no more than one empty one together, and none at either end."""
    before = ""
    for line in "\n".join(lines).strip("\n").split("\n"):
        if line.strip() or before.strip():
            yield line.rstrip()
        before = line
