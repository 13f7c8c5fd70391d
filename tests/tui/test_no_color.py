"""Without colour: whoever sets NO_COLOR gets attributes alone, and nothing on the screens is told by colour only."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from rich.color import Color as RichColor
from rich.segment import Segment
from rich.style import Style
from textual.widgets import Button

from stock.core.map_signs import LEADER, PROOF, SPLICES
from stock.core.measure import IPS
from stock.core.verdict import VERDICTS
from stock.desk.desk import Desk
from tests.tui.every_screen import SCREENS, running, shown
from tests.tui.picture import cells_of, text_of
from tests.tui.reel_fixtures import LARGE, SMALL, check_picture, demo_desk, keys, settled
from tests.tui.terminal import Terminal
from tui import no_color
from tui.app import ReelwardApp
from tui.present import reasons, verdict
from tui.present.line import text_of as words_of
from tui.present.rows import draw
from tui.present.tape import tape_of
from tui.present.window import whole
from tui.theme import DARK, THEMES
from tui.widgets.reel_list import ReelList
from tui.widgets.tick import Tick

_COLOURS = re.compile(rb"\x1b\[(?:[0-9;]*;)?(?:3[0-7]|4[0-7]|[34]8;[0-9;]+|9[0-7]|10[0-7])(?:;[0-9;]*)?m")
"""A colour asked for (ECMA-48 8.3.117 Select Graphic Rendition); 39 and 49 ask for the terminal's own."""


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        desk.add("rule", {"rule": "forecast_trials", "value": "100"})
        yield desk


def picture(app: ReelwardApp) -> str:
    return text_of(cells_of(app.export_screenshot()))


@pytest.mark.parametrize(("value", "wanted"), [("1", True), ("0", True), ("", False), (None, False)])
def test_only_a_variable_that_is_not_empty_counts(
    monkeypatch: pytest.MonkeyPatch, value: str | None, wanted: bool
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    if value is not None:
        monkeypatch.setenv("NO_COLOR", value)
    assert no_color.unwanted() is wanted
    assert ReelwardApp(lambda: pytest.fail("not opened")).no_color is wanted


def test_the_filter_keeps_attributes_and_turns_cursors_over() -> None:
    ground = DARK.background or ""
    over = no_color.colourless(ground)
    line = [
        Segment("plain", Style.parse(f"#9fe39f on {ground}")),
        Segment("bold", Style.parse(f"bold underline #9fe39f on {DARK.panel}")),
        Segment("cursor", Style.parse(f"{ground} on {DARK.accent}")),
        Segment("none", None),
    ]
    drawn = over.apply(line, None)  # type: ignore[arg-type]
    styles = [segment.style or Style() for segment in drawn]
    assert all(style.color in (None, RichColor.default()) for style in styles)
    assert all(style.bgcolor in (None, RichColor.default()) for style in styles)
    assert [bool(style.reverse) for style in styles] == [False, False, True, False]
    assert [bool(style.bold) for style in styles] == [False, True, False, False]
    field = no_color.colourless(ground, underlined=True).apply([Segment("   ", None)], None)  # type: ignore[arg-type]
    assert (field[0].style or Style()).underline


async def test_no_screen_draws_a_colour(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with running(desk) as (app, pilot):
        for name in ("", *SCREENS):
            if name:
                await shown(pilot, name)
            used = {
                colour
                for row in cells_of(app.export_screenshot())
                for cell in row
                if cell.sign != " "
                for colour in (cell.ink, cell.ground)
            }
            # the two the picture has for a terminal's own, one for its signs and one for what is behind them
            assert len(used) <= 4, f"{name or 'list'}: {used}"
            if name:
                app.pop_screen()


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks_without_colour(desk: Desk, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with running(desk, size) as (_, pilot):
        await check_picture(pilot, f"list-no-colour-{size[0]}x{size[1]}")
        await shown(pilot, "reel")
        await check_picture(pilot, f"reel-no-colour-{size[0]}x{size[1]}")


@pytest.mark.parametrize("theme", THEMES[1:], ids=lambda theme: theme.name)
@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks_in_the_other_themes(desk: Desk, theme: object, size: tuple[int, int]) -> None:
    async with running(desk, size) as (app, pilot):
        app.theme = theme.name  # type: ignore[attr-defined]
        await settled(pilot)
        await check_picture(pilot, f"list-{app.theme}-{size[0]}x{size[1]}")
        await shown(pilot, "reel")
        await check_picture(pilot, f"reel-{app.theme}-{size[0]}x{size[1]}")


# what is told by colour is told by a sign or a word as well


async def test_verdicts_are_told_by_sign_and_word(desk: Desk) -> None:
    signs = [verdict.SIGNS[each] for each in (*VERDICTS, "")]
    assert len(set(signs)) == len(signs)
    seen = set()
    async with running(desk, (100, 60)) as (app, pilot):
        for _ in range(2):
            for line in picture(app).splitlines():
                found = re.match(rf" ([{re.escape(''.join(signs))}]) ({'|'.join(VERDICTS)}) ", line)
                if found:
                    assert found[1] == verdict.SIGNS[found[2]]
                    seen.add(found[2])
            app.screen.query_one(ReelList).focus()
            await keys(pilot, "end")
    assert seen == set(VERDICTS)


def test_severities_are_told_by_sign() -> None:
    assert len(set(reasons.SIGNS.values())) == len(reasons.SIGNS) == 3


def test_what_is_proved_is_told_by_sign_and_word(desk: Desk) -> None:
    assert len(set(PROOF.values())) == 4
    assert len({*SPLICES.values(), LEADER}) == 4
    (advice,) = desk.advise(["M-0151"])
    tape = tape_of(advice)
    lines = [words_of(line) for line in draw(tape, whole(tape.length, 72), 0, 15 * IPS)]
    (proof,) = (line for line in lines if line.startswith("proof"))
    assert {"═", "▓"} <= set(proof)
    for state in {state for _, _, state in tape.proof}:
        assert PROOF[state] in lines[-1]


async def test_limits_ticks_and_errors_are_told_in_words(desk: Desk) -> None:
    async with running(desk, LARGE) as (app, pilot):
        await shown(pilot, "wear")
        drawn = picture(app)
        assert all(f"{grade}, " in drawn for grade in ("critical", "standard", "scratch"))
        app.pop_screen()
        await shown(pilot, "entry")
        await keys(pilot, "f2")
        assert "✗ nothing is given" in picture(app)
        assert isinstance(app.screen.query_one("#enter"), Button)
    tick = Tick("of one batch")
    off = tick.render().plain
    tick.set_reactive(Tick.value, True)
    assert tick.render().plain != off


async def test_the_cursor_is_seen_without_colour(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with running(desk) as (app, pilot):
        await keys(pilot, "down")
        reel = app.screen.query_one(ReelList).row
        assert reel is not None
        # under the cursor the signs are underlined, and turned over as well where the list has the focus
        cells = cells_of(app.export_screenshot())
        drawn = {"".join(cell.sign for cell in row): (row[3].ground, row[3].how) for row in cells}
        (under,) = (look for line, look in drawn.items() if re.match(rf".{{10}} {reel.reel} ", line))
        others = [look for line, look in drawn.items() if re.match(r".{10} [EHM]-\d{4} ", line)]
        assert len(others) > 5
        assert others.count(under) == 1


# the commands, and the variable that names the colours


def test_commands_print_no_colour_on_a_terminal() -> None:
    code = "import sys; from stock.cli.main import run; sys.argv = ['reelward', 'demo', *sys.argv[1:]]; run()"
    for words in (["advise", "M-0151"], ["show", "M-0103"], ["reels", "--verdict", "keep"]):
        terminal = Terminal(code, *words)
        try:
            assert terminal.end() in (0, 1)
            assert b"M-0" in terminal.output
            assert b"\x1b[" not in terminal.output
        finally:
            terminal.close()


def test_a_theme_that_is_none_is_refused_with_those_there_are() -> None:
    code = "import sys; from stock.cli.main import run; sys.argv = ['reelward', 'demo']; run()"
    terminal = Terminal(code, env={"REELWARD_THEME": "mauve"})
    try:
        assert terminal.end() == 2
        assert b"mauve" in terminal.output
        for theme in THEMES:
            assert theme.name.encode() in terminal.output
    finally:
        terminal.close()


def test_nothing_coloured_is_sent_to_a_terminal() -> None:
    code = "import sys; from stock.cli.main import run; sys.argv = ['reelward', 'demo']; run()"
    terminal = Terminal(code, size=SMALL, env={"NO_COLOR": "1", "REELWARD_THEME": "floodlight"})
    try:
        terminal.read_until(b"Reels to transfer")
        terminal.read_rest(0.3)
        terminal.send(b"q")
        assert terminal.end() == 0
        assert not _COLOURS.search(terminal.output), _COLOURS.search(terminal.output)
    finally:
        terminal.close()
