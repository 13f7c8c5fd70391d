"""Every pair of colours that text is drawn with is readable: computed, not looked at.

Relative luminance and contrast ratio as the Web Content Accessibility Guidelines 2.2 define them; 4.5:1 is their level
AA for text, 7:1 their level AAA.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.color import Color
from textual.theme import Theme

from stock.core.verdict import VERDICTS
from stock.desk.desk import Desk
from tests.tui.every_screen import SCREENS, running, shown
from tests.tui.picture import Cell, cells_of
from tests.tui.reel_fixtures import demo_desk, keys, settled
from tui.app import ReelwardApp
from tui.theme import CONTRAST, DARK, THEMES, after, named

GROUNDS = ("background", "surface", "panel")
TEXTS = ("foreground", "quiet", "primary", "secondary", "accent", "success", "warning", "error") + (
    "tape-proved",
    "tape-unproved",
    "tape-free",
)
LIST_GROUNDS = ("list-cursor", "block-cursor-blurred-background")
EDGES = "▁▂▃▄▅▆▇█▔▏▎▍▌▋▊▉▐▕"
"""Signs that draw the edge of a bar or a box: not text, for which the guidelines ask 3:1."""


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


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        desk.add("rule", {"rule": "forecast_trials", "value": "100"})
        yield desk


def test_the_measure_is_the_guidelines() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS + LIST_GROUNDS)
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
        ("text-muted", "panel"),
        ("text-disabled", "surface"),
        ("text-disabled", "panel"),
    ],
)
def test_keys_and_cursor_are_readable(theme: Theme, text: str, ground: str) -> None:
    assert contrast(color(theme, text), color(theme, ground)) >= 4.5


def test_high_contrast_is_high_for_all_text() -> None:
    for ground in GROUNDS + LIST_GROUNDS:
        assert min(contrast(color(CONTRAST, name), color(CONTRAST, ground)) for name in TEXTS) >= 7


def too_faint(app: ReelwardApp, theme: Theme) -> list[tuple[float, Cell]]:
    """The cells drawn in colours that are too near each other. What a dialog has dimmed behind it is not read."""
    cells = cells_of(app.export_screenshot())
    verdicts = {color(theme, f"verdict-{verdict}") for verdict in VERDICTS}
    boxes = [box.region for box in app.screen.query("#box")]
    found = []
    for y, row in enumerate(cells):
        for x, cell in enumerate(row):
            if cell.sign == " " or not all(box.contains(x, y) for box in boxes):
                continue
            needed = 7.0 if cell.ink in verdicts else 3.0 if cell.sign in EDGES else 4.5
            if contrast(cell.ink, cell.ground) < needed:
                found.append((contrast(cell.ink, cell.ground), cell))
    return found


async def test_every_pair_of_colours_drawn_is_readable_in_every_theme(desk: Desk) -> None:
    seen = set()
    async with running(desk) as (app, pilot):
        for name in ("", *SCREENS):
            if name:
                await shown(pilot, name)
            for theme in THEMES:
                app.theme = theme.name
                await settled(pilot)
                assert not too_faint(app, theme), f"{name or 'list'} in {theme.name}"
                seen |= {(cell.ink, cell.ground) for row in cells_of(app.export_screenshot()) for cell in row}
            if name:
                app.pop_screen()
    assert len(seen) > 100, "colours were looked at"


async def test_fields_choices_and_selected_text_are_readable(desk: Desk) -> None:
    async with running(desk) as (app, pilot):
        for theme in THEMES:
            app.theme = theme.name
            await keys(pilot, "slash", "m", "-", "0", "shift+home")
            assert not too_faint(app, theme), f"selected text in {theme.name}"
            await keys(pilot, "escape")
        await shown(pilot, "choose kind")
        for theme in THEMES:
            app.theme = theme.name
            await keys(pilot, "down")
            assert not too_faint(app, theme), f"a row under the cursor in {theme.name}"


async def test_a_faint_colour_is_found(desk: Desk) -> None:
    async with running(desk) as (app, pilot):
        assert not too_faint(app, DARK)
        app.screen.query_one("#detail").styles.color = "#555555"
        await settled(pilot)
        assert {cell.ink for _, cell in too_faint(app, DARK)} >= {"#555555"}


def test_one_theme_follows_another() -> None:
    assert [after(theme.name) for theme in THEMES] == [*THEMES[1:], THEMES[0]]
    assert after("no such theme") is DARK
    assert named(" Floodlight ") is CONTRAST
    assert named("") is named("no such theme") is None
