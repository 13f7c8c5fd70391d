"""A sheet of labelled lines to read: what is left to do, or all that is known of a place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Button, Static

from stock.edge.visible import safe
from tui.explaining import open_sheet
from tui.keys import key_binding
from tui.present.sheet import SheetLine, Told
from tui.work import WorkingModal

_TONES = {"yes": "$success", "no": "$error", "doubt": "$warning", "quiet": "$quiet", "plain": "$foreground"}
_SIGNS = {"no": "\u2717 ", "doubt": "? "}


class _Line(Vertical):
    """One line: its label, and what it says in its tone."""

    def __init__(self, line: SheetLine) -> None:
        says = Content(_SIGNS.get(line.weight, "") + safe(line.says))
        super().__init__(
            Static(Content(safe(line.label)), classes="label"),
            Static(says.stylize(_TONES[line.weight]), classes="says"),
            classes="line",
        )


class Sheet(WorkingModal[None]):
    """Shows the lines, nothing cut off. title: what they are about.

    again: reads title and lines, so that they are kept up; it is called in a thread. why: reads the sheet that explains
    this one, likewise.
    """

    BINDINGS: ClassVar = [key_binding("sheet_why"), key_binding("back")]
    CSS = """
    Sheet #box { width: 96%; max-width: 100; height: auto; max-height: 100%; padding: 1 2; background: $surface; }
    Sheet #title { text-style: bold; margin-bottom: 1; height: auto; }
    Sheet VerticalScroll { height: auto; margin-bottom: 1; scrollbar-size-vertical: 1; }
    Sheet .line { layout: horizontal; height: auto; }
    Sheet .label { width: 15; color: $quiet; height: auto; }
    Sheet .says { width: 1fr; height: auto; }
    Sheet #foot { height: 1; }
    Sheet Button { margin-right: 2; }
    """

    def __init__(
        self,
        title: str,
        lines: Sequence[SheetLine],
        again: Callable[[], Told] | None = None,
        why: Callable[[], Told] | None = None,
    ) -> None:
        super().__init__()
        self._again = again
        self._why = why
        self._title = title
        self._lines = lines

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(Content(safe(self._title)), id="title")
            with VerticalScroll():
                yield from map(_Line, self._lines)
            with Horizontal(id="foot"):
                if self._why is not None:
                    yield Button("e Why", id="why", compact=True)
                yield Button("Esc Close", id="close", compact=True)

    def on_mount(self) -> None:
        self._fit()
        self.query_one(VerticalScroll).focus()
        self.anew()
        self.keep_watch()

    def anew(self) -> None:
        if self._again is not None:
            self.read(self._again, self._show)

    def _show(self, told: Told) -> None:
        title, lines = told
        if (title, [*lines]) != (self._title, [*self._lines]):
            self._title, self._lines = title, lines
            self.query_one("#title", Static).update(Content(safe(title)))
            scroll = self.query_one(VerticalScroll)
            scroll.remove_children()
            scroll.mount_all(map(_Line, lines))

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        """Leave room for the title, the button and the space around them."""
        self.query_one(VerticalScroll).styles.max_height = max(self.size.height - 7, 3)

    @on(Button.Pressed, "#why")
    def action_why(self) -> None:
        """Explain what is said, where there is something to explain."""
        if self._why is not None:
            open_sheet(self, self._why)

    @on(Button.Pressed, "#close")
    def action_back(self) -> None:
        self.dismiss(None)
