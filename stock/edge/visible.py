"""Texts made safe to show: nothing in them a terminal or a line of print would obey."""

from __future__ import annotations

import re

_UNSAFE = re.compile(
    "[\x00-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\U000e0000-\U000e007f]"
)
"""Controls, line separators, marks that turn the reading direction, and what has no width: none of it is seen."""


def safe(text: str) -> str:
    """A text with every control, escape, line break, direction mark and half character shown as a visible symbol."""
    return _UNSAFE.sub(_symbol, text)


def _symbol(match: re.Match[str]) -> str:
    point = ord(match[0])
    if point < 0x20:
        return chr(0x2400 + point)
    if point == 0x7F:
        return "\u2421"
    return f"<U+{point:04X}>"
