"""The house rules on the screen: every limit, and what another would change before anybody enters it."""

from __future__ import annotations

import threading
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Button, OptionList, Static

from stock.core.rules import BY_NAME, RULES
from stock.desk import house_rules
from stock.desk.desk import Desk
from stock.desk.house_rules import RuleLine, rule_lines
from tests.tui.reel_fixtures import (
    HOSTILE,
    LARGE,
    SMALL,
    check_picture,
    demo_desk,
    keys,
    settled,
    where_it_says,
)
from tui import work
from tui.app import ReelwardApp
from tui.dialogs.confirm import Confirm
from tui.dialogs.rule import RuleDialog
from tui.present.house_rules import CHANGED, rule_name, value_words
from tui.screens.rules import GroupLine, RulesScreen
from tui.widgets.heading import Lines
from tui.widgets.typed import Typed


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        yield desk


@asynccontextmanager
async def ruling(desk: Desk, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await keys(pilot, "8")
        assert isinstance(app.screen, RulesScreen)
        yield app, pilot
        app.shelf.close()


async def to_rule(pilot: Pilot[None], name: str) -> None:
    """Put the cursor on a rule."""
    screen = pilot.app.screen
    assert isinstance(screen, RulesScreen)
    at = shown(pilot).index(name)
    screen.query_one(OptionList).highlighted = at
    await settled(pilot)


def shown(pilot: Pilot[None]) -> list[str]:
    """The names of the rules in the list, groups by their titles."""
    screen = pilot.app.screen
    assert isinstance(screen, RulesScreen)
    return [row.rule.name if isinstance(row, RuleLine) else row.title for row in screen._rows]


def said(pilot: Pilot[None], part: str) -> str:
    return pilot.app.screen.query_one(f"#{part}", Lines).text()


def error(pilot: Pilot[None], part: str = "error") -> str:
    return str(pilot.app.screen.query_one(f"#{part}", Static).content)


async def change(pilot: Pilot[None], name: str, value: str) -> None:
    """Open a rule and see what a value would change."""
    await to_rule(pilot, name)
    await keys(pilot, "f2")
    assert isinstance(pilot.app.screen, RuleDialog)
    pilot.app.screen.query_one("#value", Typed).value = value
    await keys(pilot, "enter")


def in_force(desk: Desk, name: str) -> RuleLine:
    return next(line for line in rule_lines(desk)[1] if line.rule.name == name)


def newest_line(desk: Desk) -> int:
    with desk.store.reading() as reader:
        head = reader.head()
    assert head is not None
    return head.line


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, size: tuple[int, int]) -> None:
    async with ruling(desk, size) as (_, pilot):
        await to_rule(pilot, "passes_critical")
        await check_picture(pilot, f"rules-{size[0]}x{size[1]}")
        await to_rule(pilot, "cooling_days")
        desk.add("rule", {"rule": "copies_needed", "value": "1"})
        pilot.app.screen.look()  # type: ignore[attr-defined]
        await settled(pilot)
        await change(pilot, "cooling_days", "0")
        await check_picture(pilot, f"rules-looser-{size[0]}x{size[1]}")
        await keys(pilot, *"trust", "f2")
        assert isinstance(pilot.app.screen, Confirm)
        await check_picture(pilot, f"rules-second-{size[0]}x{size[1]}")


async def test_every_rule_is_there_with_what_it_is_and_who_set_it(desk: Desk) -> None:
    async with ruling(desk) as (_, pilot):
        assert {rule.name for rule in RULES} <= set(shown(pilot))
        await to_rule(pilot, "passes_critical")
        words = said(pilot, "detail")
        for part in (
            "25 passes, set by Ines Quill on 2025-03-03",
            "default 30 passes",
            "No published figure was found",
        ):
            assert part in words
        listed = pilot.app.screen.query_one(OptionList)
        at = listed.highlighted
        assert at is not None
        assert str(listed.get_option_at_index(at).prompt).startswith(CHANGED)
        await keys(pilot, "v")
        assert shown(pilot) == ["Wear, by grade", "passes_critical", "The house", "time_zone"]
        assert "entered as passes_critical" in said(pilot, "detail")
        await keys(pilot, "v")
        assert len(shown(pilot)) > len(RULES)


async def test_what_is_copied_or_printed_is_every_rule_in_full(desk: Desk) -> None:
    async with ruling(desk) as (app, pilot):
        await keys(pilot, "v")
        assert isinstance(app.screen, RulesScreen)
        told = "\n".join(app.screen.report().lines)
        assert all(rule_name(rule) in told for rule in RULES)
        assert "passes critical: 25 passes, set by Ines Quill on 2025-03-03" in told
        assert "\u2026" not in told


async def test_groups_are_one_key_or_click_away(desk: Desk) -> None:
    async with ruling(desk) as (app, pilot):
        assert "minimum_rate_hz" in said(pilot, "detail")
        await keys(pilot, "full_stop", "full_stop")
        assert "proof_short_share" in said(pilot, "detail")
        await keys(pilot, "comma", "comma", "comma")
        assert "time_zone" in said(pilot, "detail"), "round from the first to the last"
        line = app.screen.query_one(GroupLine)
        await pilot.click(GroupLine, offset=where_it_says(line, "Buying"))
        await settled(pilot)
        assert "holding_share" in said(pilot, "detail")


async def test_a_stricter_rule_is_seen_then_set_with_name_and_reason(desk: Desk) -> None:
    async with ruling(desk) as (app, pilot):
        await to_rule(pilot, "copies_needed")
        # F2, the value, Enter to see, the reason, F2
        await keys(pilot, "f2", "3", "enter")
        words = said(pilot, "effect")
        assert "from clear to keep" in words
        assert "WOULD BECOME" not in words
        assert newest_line(desk) == (before := newest_line(desk))
        await keys(pilot, *"lost a drive", "f2")
        assert isinstance(app.screen, RulesScreen)
        assert newest_line(desk) == before + 1
        line = in_force(desk, "copies_needed")
        assert line.set_by is not None
        assert (line.value, line.set_by.by, line.set_by.note) == ("3", "Tess Amblin", "lost a drive")
        assert "3 copies, set by Tess Amblin" in said(pilot, "detail")


async def test_a_looser_rule_is_said_loudly_and_asked_about_twice(desk: Desk) -> None:
    desk.add("rule", {"rule": "copies_needed", "value": "1"})
    async with ruling(desk) as (app, pilot):
        await change(pilot, "cooling_days", "0")
        assert said(pilot, "effect").startswith("!! 1 REEL WOULD BECOME CLEAR OR BLANK: M-0152.")
        before = newest_line(desk)
        await keys(pilot, *"trust", "f2")
        assert isinstance(app.screen, Confirm)
        # a stray Enter stands on the way out
        await keys(pilot, "enter")
        assert isinstance(app.screen, RuleDialog)
        assert newest_line(desk) == before
        await keys(pilot, "f2")
        app.screen.query_one("#do_it", Button).press()
        await settled(pilot)
        assert isinstance(app.screen, RulesScreen)
        assert in_force(desk, "cooling_days").value == "0"


async def test_nothing_is_entered_that_was_not_seen(desk: Desk) -> None:
    async with ruling(desk) as (app, pilot):
        before = newest_line(desk)
        await to_rule(pilot, "copies_needed")
        await keys(pilot, "f2", "3")
        app.screen.query_one("#note", Typed).value = "lost a drive"
        await keys(pilot, "f2")
        assert "from clear to keep" in said(pilot, "effect"), "the first F2 shows"
        app.screen.query_one("#value", Typed).value = "1"
        await settled(pilot)
        assert "from clear to keep" not in said(pilot, "effect"), "what was seen was of another value"
        await keys(pilot, "f2")
        assert isinstance(app.screen, RuleDialog)
        assert newest_line(desk) == before
        # and not without a reason
        app.screen.query_one("#note", Typed).value = " "
        await keys(pilot, "f2")
        assert "say why" in error(pilot)
        assert newest_line(desk) == before


async def test_with_the_mouse_alone(desk: Desk) -> None:
    async with ruling(desk, LARGE) as (app, pilot):
        await pilot.click(GroupLine, offset=where_it_says(app.screen.query_one(GroupLine), "Buying"))
        await settled(pilot)
        listed = app.screen.query_one(OptionList)
        row = shown(pilot).index("budget_month") - listed.scroll_offset.y
        await pilot.click(OptionList, offset=(10, row))
        await settled(pilot)
        assert isinstance(app.screen, RuleDialog)
        app.screen.query_one("#value", Typed).value = "900"
        await pilot.click("#see")
        await settled(pilot)
        assert "It bears on order plans and budgets." in said(pilot, "effect")
        app.screen.query_one("#note", Typed).value = "as agreed"
        await pilot.click("#set")
        await settled(pilot)
        assert isinstance(app.screen, RulesScreen)
        assert in_force(desk, "budget_month").value == "900"


async def test_what_is_in_force_already_and_what_cannot_be_read(desk: Desk) -> None:
    async with ruling(desk) as (app, pilot):
        await change(pilot, "cooling_days", "14")
        assert "in force already" in said(pilot, "effect")
        for typed, says in (("soon", "a whole number was expected"), ("", "a whole number was expected")):
            app.screen.query_one("#value", Typed).value = typed
            await keys(pilot, "f3")
            assert says in error(pilot, "value_error")
        app.screen.query_one("#value", Typed).value = "15"
        await keys(pilot, "f3")
        assert error(pilot, "value_error") == ""


async def test_work_is_broken_off_by_escape_and_by_another_value(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    going, begun = threading.Event(), threading.Event()
    under = house_rules.under

    def slow(*args: object) -> Iterator[object]:
        begun.set()
        going.wait(30)
        yield from under(*args)  # type: ignore[arg-type]

    async with ruling(desk) as (app, pilot):
        await to_rule(pilot, "copies_needed")
        await keys(pilot, "f2")
        monkeypatch.setattr(house_rules, "under", slow)
        app.screen.query_one("#value", Typed).value = "3"
        await pilot.press("enter")
        while not begun.is_set():
            await pilot.pause()
        assert "Esc stops" in said(pilot, "effect")
        await pilot.press("f2", "escape")
        assert "Stopped." in said(pilot, "effect")
        going.set()
        await settled(pilot)
        assert isinstance(app.screen, RuleDialog)
        assert "Stopped." in said(pilot, "effect"), "what was stopped is not shown"
        await keys(pilot, "escape")
        assert isinstance(app.screen, RulesScreen)
        assert in_force(desk, "copies_needed").value == "2"


async def test_what_somebody_enters_meanwhile_is_reckoned_with(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work, "LOOK_S", 3600.0)
    async with ruling(desk) as (app, pilot):
        await change(pilot, "copies_needed", "3")
        clear = said(pilot, "effect").split("from clear to keep: ")[1].split(",")[0]
        before = said(pilot, "effect")
        desk.add("hold", {"hold": "H-9", "reel": clear, "reason": "a claim"})
        # the dialog has not looked yet: what it entered would be stale
        await keys(pilot, *"lost a drive", "f2")
        assert isinstance(app.screen, RuleDialog)
        assert "`add hold` by Tess Amblin" in error(pilot)
        assert in_force(desk, "copies_needed").value == "2"
        assert said(pilot, "effect") != before
        assert clear not in said(pilot, "effect")
        # and once it looks, it works it out by itself
        desk.add("hold-end", {"hold": "H-9"})
        app.screen.look()  # type: ignore[attr-defined]
        await settled(pilot)
        assert said(pilot, "effect") == before
        assert "Somebody entered something since" in error(pilot)
        await keys(pilot, "f2")
        assert isinstance(app.screen, RulesScreen)
        assert in_force(desk, "copies_needed").value == "3"


async def test_what_is_typed_is_kept_and_obeys_nothing(desk: Desk) -> None:
    async with ruling(desk) as (app, pilot):
        for text in HOSTILE[::5]:
            await change(pilot, "time_zone", text)
            assert "is not a time zone" in error(pilot, "value_error")
            assert not {"\x1b", "\x07", "\u202e"} & set(error(pilot, "value_error"))
            app.screen.query_one("#note", Typed).value = text
            await keys(pilot, "escape", "f2")
            assert app.screen.query_one("#value", Typed).value != in_force(desk, "time_zone").value, "taken up again"
            await keys(pilot, "f8")
            await keys(pilot, "escape")
        note = HOSTILE[0]
        await change(pilot, "gap_s", "7")
        app.screen.query_one("#note", Typed).value = note
        app.screen.query_one("#by", Typed).value = HOSTILE[1]
        await keys(pilot, "f2")
        await to_rule(pilot, "gap_s")
        assert HOSTILE[1] in said(pilot, "detail")
        assert note in said(pilot, "detail")


def test_names_and_values_in_words() -> None:
    def words(name: str, value: int | str) -> str:
        return f"{rule_name(BY_NAME[name])}: {value_words(BY_NAME[name], value)}"

    assert words("cooling_days", 1) == "cooling days: 1 day"
    assert words("copies_needed", 1) == "copies needed: 1 copy"
    assert words("media_needed", 2) == "media needed: 2 media"
    assert words("passes_critical", 25) == "passes critical: 25 passes"
    assert words("proof_short_share", 5) == "proof short share: 0.5 %"
    assert words("overrun_share", 100) == "overrun share: 10 %"
    assert words("gap_s", 5_000_000) == "gap: 5 s"
    assert words("proof_resume_s", 86_400_000_000) == "proof resume: 24 h"
    assert words("minimum_rate_hz", 48_000) == "minimum rate: 48000 Hz"
    assert words("severity_critical", 0) == "severity critical: 0"
    assert words("time_zone", "Europe/Oslo") == "time zone: Europe/Oslo"
