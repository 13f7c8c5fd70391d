"""A widget drawn line by line in named inks, whose colours come from the theme."""

from __future__ import annotations

from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.content import Content
from textual.strip import Strip
from textual.widget import Widget

from tui.present.line import INKS, Line, clip


class Inked(Widget):
    """The base of the tape map and the lists on a reel's page."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"ink--{ink}" for ink in INKS} | {"ink--cursor"}
    DEFAULT_CSS = """
    Inked {
        .ink--plain { color: $foreground; }
        .ink--strong { color: $foreground; text-style: bold; }
        .ink--quiet { color: $quiet; }
        .ink--take { color: $primary; text-style: bold; }
        .ink--unlogged { color: $error; text-style: bold; }
        .ink--proved { color: $tape-proved; }
        .ink--unproved { color: $tape-unproved; }
        .ink--let-go { color: $tape-free; }
        .ink--hatch { color: $quiet; }
        .ink--wear { color: $secondary; }
        .ink--mark { color: $accent; text-style: bold; }
        .ink--no { color: $error; }
        .ink--doubt { color: $warning; }
        .ink--note { color: $quiet; }
        .ink--yes { color: $success; }
        .ink--gone { color: $quiet; text-style: strike; }
        .ink--clear { color: $verdict-clear; text-style: bold; }
        .ink--blank { color: $verdict-blank; text-style: bold; }
        .ink--inspect { color: $verdict-inspect; text-style: bold; }
        .ink--keep { color: $verdict-keep; text-style: bold; }
        .ink--retire { color: $verdict-retire; text-style: bold; }
        .ink--cursor { color: $block-cursor-foreground; background: $block-cursor-background; }
    }
    """

    def take_height(self, lines: int) -> None:
        """Be so many lines high, and draw anew.

        Set outright: an automatic height asked for anew before the last one was seen to is sometimes not measured.
        """
        self.styles.height = lines
        self.refresh()

    def ink(self, name: str) -> Style:
        """The colours of an ink."""
        return self.get_component_rich_style(f"ink--{name}")

    def strip(self, line: Line, width: int, style: Style | None = None) -> Strip:
        """A line as the screen takes it, cut and filled to a width. style: laid over every piece."""
        over = style or Style()
        segments = [
            Segment(piece.text, (self.ink("cursor") if piece.cursor else self.ink(piece.ink)) + over)
            for piece in clip(line, width)
        ]
        return Strip(segments).adjust_cell_length(width, self.rich_style + over)


_COLOURS = {
    "plain": "",
    "strong": "bold",
    "quiet": "$quiet",
    "mark": "bold $accent",
    "yes": "$success",
    "no": "$error",
    "doubt": "$warning",
    "proved": "$tape-proved",
    "unproved": "$tape-unproved",
}


def inked(line: Line) -> Content:
    """A line as content, for widgets that draw their own: its inks as the theme's colours."""
    return Content.assemble(*((piece.text, _COLOURS.get(piece.ink, "")) for piece in line))
