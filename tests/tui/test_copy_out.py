"""What is on the screen, taken along: to the clipboard, files, a picture, a printer; nothing is lost or overwritten."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.widgets import OptionList

from stock.desk import reports
from stock.desk.desk import Desk
from stock.desk.reports import CannotPrint, CannotWrite, FileIsThere, Report, file_name, print_out, save, text_of
from tests.tui.every_screen import SCREENS, running, shown
from tests.tui.reel_fixtures import HOSTILE, LARGE, SMALL, check_picture, demo_desk, keys, settled
from tui.dialogs.ask_line import AskLine
from tui.dialogs.confirm import Confirm
from tui.dialogs.copy_out import CopyOut
from tui.screens.shelf import ShelfScreen
from tui.widgets.typed import Typed
from tui.work import WorkingScreen

NIGHT = Report("Reel M-0151", ("first \x1b[31mline", "", "last"))


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        desk.add("rule", {"rule": "forecast_trials", "value": "100"})
        yield desk


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "here"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


def a_printer(folder: Path, monkeypatch: pytest.MonkeyPatch, script: str) -> None:
    program = folder / "lp"
    program.write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{folder}{os.pathsep}/bin{os.pathsep}/usr/bin")


def test_a_report_as_text_obeys_nothing() -> None:
    assert text_of(NIGHT) == "Reel M-0151\n\nfirst ␛[31mline\n\nlast\n"
    for text in HOSTILE:
        written = text_of(Report(text, (text,)))
        assert not set(written) - {"\n"} & {chr(point) for point in (*range(32), 0x7F)}
        assert written.count("\n") == 3


def test_a_files_name_is_plain() -> None:
    assert file_name("Reel M-0151", "txt") == "Reel-M-0151.txt"
    assert file_name("Reel ../../x y", "pdf") == "Reel-x-y.pdf"
    assert file_name("漢", "svg") == "report.svg"


def test_no_file_is_replaced_unasked(folder: Path) -> None:
    path = folder / "a.txt"
    save(path, b"first")
    with pytest.raises(FileIsThere, match=r"a\.txt is there"):
        save(path, b"second")
    assert path.read_bytes() == b"first"
    save(path, b"second", replace=True)
    assert path.read_bytes() == b"second"
    with pytest.raises(CannotWrite, match="No such file"):
        save(folder / "nowhere" / "a.txt", b"x")


def test_it_is_handed_to_the_printer(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    a_printer(folder, monkeypatch, f"cat > {folder}/printed")
    print_out(NIGHT)
    assert (folder / "printed").read_text(encoding="utf-8") == text_of(NIGHT)


def test_a_printer_that_refuses_is_told_of(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    a_printer(folder, monkeypatch, "echo out of paper >&2; exit 1")
    with pytest.raises(CannotPrint, match="out of paper"):
        print_out(NIGHT)
    monkeypatch.setenv("PATH", str(folder / "nowhere"))
    with pytest.raises(CannotPrint, match="no program lp or lpr"):
        print_out(NIGHT)


async def test_every_screen_tells_what_is_on_it(desk: Desk) -> None:
    said = {
        "reel": ("M-0151", "May the recording go?", "What happened", "proof", "tuesday"),
        "now": ("Reels to transfer", "Harbour Light/mix 3", "Orders late"),
        "needs": ("week",),
        "buying": ("never short with odds of 90 %", "351.50 Harl Studio Supply"),
        "copies": ("make another copy of SW-S elsewhere, and prove it",),
        "pick": ("takes",),
        "session": ("M-0151",),
        "wear": ("M-0104", "critical, "),
        "wipe": ("M-0103",),
        "help": ("Search",),
        "entry": ("reel *", "its number or name"),
        "inspect": ("edges",),
    }
    async with running(desk) as (app, pilot):
        for name in SCREENS:
            await shown(pilot, name)
            assert isinstance(app.screen, WorkingScreen)
            text = text_of(app.screen.report())
            for words in said.get(name, ()):
                assert words in text, f"{name}: {words}\n{text}"
            assert "F2 Enter it" not in text
            app.pop_screen()


async def test_all_reels_are_saved_not_only_those_in_sight(desk: Desk, folder: Path) -> None:
    async with running(desk) as (app, pilot):
        await keys(pilot, "y")
        assert isinstance(app.screen, CopyOut)
        await keys(pilot, "f2")
        assert isinstance(app.screen, AskLine)
        await keys(pilot, "enter")
        assert isinstance(app.screen, ShelfScreen)
    text = (folder / "Reels.txt").read_text(encoding="utf-8")
    with desk.store.reading() as reader:
        numbers = [row[0] for row in reader.raw("SELECT reel FROM reels")]
    assert len(numbers) == 80
    assert all(f" {number} " in text for number in numbers)
    assert text.splitlines()[-1] == "As of 2026-11-25."


async def test_an_existing_file_is_asked_about(desk: Desk, folder: Path) -> None:
    kept = folder / "Reel-M-0151.txt"
    kept.write_text("mine", encoding="utf-8")
    async with running(desk) as (app, pilot):
        await shown(pilot, "reel")
        await keys(pilot, "y", "f2", "enter")
        assert isinstance(app.screen, Confirm)
        await keys(pilot, "escape")
        assert kept.read_text(encoding="utf-8") == "mine"
        assert isinstance(app.screen, CopyOut)
        await keys(pilot, "f2", "enter", "tab", "enter")
        assert "May the recording go?" in kept.read_text(encoding="utf-8")


async def test_clipboard_picture_paper_and_printer(desk: Desk, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    a_printer(folder, monkeypatch, f"cat > {folder}/printed")
    async with running(desk) as (app, pilot):
        await shown(pilot, "reel")
        await keys(pilot, "y", "enter")
        assert "Lamplighter/2" in app.clipboard
        assert app.clipboard.endswith("As of 2026-11-25.\n")
        await keys(pilot, "y", "down", "down", "enter", "enter")
        picture = (folder / "Reel-M-0151.svg").read_text(encoding="utf-8")
        assert picture.startswith("<svg")
        assert "Lamplighter" in picture
        await keys(pilot, "y", "down", "down", "down", "enter", "enter")
        assert (folder / "Reel-M-0151.pdf").read_bytes().startswith(b"%PDF-")
        await keys(pilot, "y", "end", "enter")
        assert (folder / "printed").read_text(encoding="utf-8") == app.clipboard


async def test_where_it_cannot_be_written_it_says_so(desk: Desk) -> None:
    async with running(desk) as (app, pilot):
        await keys(pilot, "y", "f2")
        app.screen.query_one(Typed).value = "nowhere/at/all.txt"
        await keys(pilot, "enter")
        assert isinstance(app.screen, CopyOut), "it can be saved elsewhere"
        assert any("nowhere/at/all.txt cannot be written" in note.message for note in app._notifications)


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reports, "printer", lambda: None)
    async with running(desk, size) as (app, pilot):
        await shown(pilot, "reel")
        await keys(pilot, "y")
        assert app.screen.query_one(OptionList).has_focus
        await check_picture(pilot, f"copy-out-{size[0]}x{size[1]}")
        await settled(pilot)
