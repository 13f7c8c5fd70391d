"""Every pair of colours that text is drawn with is readable: computed, not looked at.

Relative luminance and contrast ratio as the Web Content Accessibility Guidelines 2.2 define them; 4.5:1 is their level
AA for text, 7:1 their level AAA.
"""

from __future__ import annotations

import pytest
from textual.color import Color
from textual.theme import Theme

from stock.core.verdict import VERDICTS
from tui.theme import THEMES

GROUNDS = ("background", "surface", "panel")
TEXTS = ("foreground", "quiet", "primary", "secondary", "accent", "success", "warning", "error") + (
    "tape-proved",
    "tape-unproved",
    "tape-free",
)


def luminance(color: Color) -> float:
    parts = []
    for part in (color.r, color.g, color.b):
        share = part / 255
        parts.append(share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4)
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def contrast(first: str, second: str) -> float:
    lighter, darker = sorted((luminance(Color.parse(first)), luminance(Color.parse(second))), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def color(theme: Theme, name: str) -> str:
    return theme.variables.get(name) or str(getattr(theme, name))


def test_the_measure_is_the_guidelines() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("name", TEXTS)
def test_text_is_readable_on_every_ground(theme: Theme, ground: str, name: str) -> None:
    assert contrast(color(theme, name), color(theme, ground)) >= 4.5


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("verdict", VERDICTS)
def test_verdicts_stand_out(theme: Theme, ground: str, verdict: str) -> None:
    assert contrast(color(theme, f"verdict-{verdict}"), color(theme, ground)) >= 7


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize(
    ("text", "ground"),
    [
        ("footer-key-foreground", "footer-background"),
        ("footer-description-foreground", "footer-background"),
        ("block-cursor-foreground", "block-cursor-background"),
    ],
)
def test_keys_and_cursor_are_readable(theme: Theme, text: str, ground: str) -> None:
    assert contrast(color(theme, text), color(theme, ground)) >= 4.5
