"""The screens without colour, for whoever sets NO_COLOR (no-color.org): told by bold, underline and reverse alone."""

from __future__ import annotations

import os
from functools import lru_cache

from rich.color import Color as RichColor
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter

_STANDS_OUT = 0.15
"""A ground that is so much brighter or darker than the screen's own is a cursor or a selection, not a panel."""

CSS = """
SelectCurrent:nocolor { text-style: underline; }
OptionList:nocolor:focus > .option-list--option-highlighted { text-style: reverse; }
OptionList:nocolor > .option-list--option-highlighted { text-style: bold underline; }
ReelList:nocolor .reel-list--cursor { text-style: bold underline; }
PointLine:nocolor:focus { text-style: reverse; }
Blocks:nocolor .ink--here { text-style: bold; }
WorkingModal:nocolor { background: $background; }
WorkingModal:nocolor #box { outline-left: solid $foreground; outline-right: solid $foreground; }
"""
"""What colours tell, told by attributes where there are none."""


def unwanted() -> bool:
    """Whether colours are not wanted: the variable is there, and not empty."""
    return bool(os.environ.get("NO_COLOR"))


class Colourless(LineFilter):
    """Takes colours away; what stood on a ground of its own is drawn in reverse.

    ground: the screens' ground. underlined: whether every cell is underlined, which shows how far a field goes.
    """

    def __init__(self, ground: Color, *, underlined: bool = False) -> None:
        super().__init__()
        self._ground = ground
        self._over = Style(underline=True) if underlined else Style()

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The segments of a line with their attributes alone."""
        return [
            Segment(text, _plain(style or Style(), self._ground) + self._over, control)
            for text, style, control in segments
        ]


@lru_cache
def colourless(ground: str, *, underlined: bool = False) -> Colourless:
    """The filter for screens on a ground, a colour as the theme names it."""
    return Colourless(Color.parse(ground), underlined=underlined)


_DEFAULT = RichColor.default()


@lru_cache(2048)
def _plain(style: Style, ground: Color) -> Style:
    on = style.bgcolor
    reverse = bool(style.reverse)
    if on is not None and not on.is_default:
        reverse = reverse or abs(Color.from_rich_color(on).brightness - ground.brightness) >= _STANDS_OUT
    return style + Style(color=_DEFAULT, bgcolor=_DEFAULT, reverse=reverse)
