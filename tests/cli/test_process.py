"""The program as a process: what help imports, closed pipes, the demo, and faults of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from stock.cli.main import INTERRUPTED, PIPE_CLOSED
from stock.cli.settings import Settings
from tests.cli.conftest import Call

HEAVY = ("sqlalchemy", "pydantic", "pint", "textual", "alembic", "rich", "sqlite3", "numpy")


def program(*args: str, **about: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "stock.cli", *args]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=60, **about)  # type: ignore[call-overload,no-any-return]


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys\nfrom stock.cli.main import main\nassert main(['--help']) == 0\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert ran.stdout.startswith("Usage: reelward")
    assert ran.stderr == "[]\n"


def test_the_demo_answers_and_leaves_nothing_behind(tmp_path: Path) -> None:
    env = {**os.environ, "TMPDIR": str(tmp_path), "REELWARD_DB": str(tmp_path / "mine.db")}
    ran = program("demo", "advise", "M-0101", "M-0151", env=env)
    assert ran.returncode == 1
    assert "As of 2026-11-20." in ran.stdout
    assert list(tmp_path.iterdir()) == []


def test_a_reader_that_goes_away_is_no_fault(loaded_house: Path) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    command = [sys.executable, "-m", "stock.cli", "--db", str(loaded_house), "--today", "2026-11-20", "advise"]
    ran = subprocess.run(command, stdout=writer, stderr=subprocess.PIPE, check=False, timeout=60)
    os.close(writer)
    assert (ran.returncode, ran.stderr) == (PIPE_CLOSED, b"")


def test_a_terminal_of_few_letters_is_written_to_all_the_same(loaded_house: Path) -> None:
    env = {**os.environ, "PYTHONIOENCODING": "iso-8859-1"}
    ran = program("--db", str(loaded_house), "--today", "2026-11-20", "reels", env=env, encoding="iso-8859-1")
    assert (ran.returncode, ran.stderr) == (0, "")
    # a note that is cut ends in a sign this encoding lacks
    assert any(line.endswith("?") for line in ran.stdout.splitlines())


def test_an_argument_that_is_no_text_is_refused() -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "stock.cli", "show", b"\xff\x1b"], capture_output=True, check=False, timeout=60
    )
    assert ran.returncode == 2
    assert b"argument 2 is not a text" in ran.stderr
    assert b"\x1b" not in ran.stderr


def test_an_interrupt_ends_quietly(call: Call, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(settings: Settings) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Settings, "asking", interrupted)
    ran = call("advise")
    assert (ran.status, ran.out, ran.err) == (INTERRUPTED, "", "")


def test_a_fault_of_its_own_is_one_line_and_a_log_without_names(
    call: Call, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def broken(settings: Settings) -> None:
        secret = "Ines Quill"
        raise ZeroDivisionError(f"told by {secret}")

    monkeypatch.setattr(Settings, "asking", broken)
    ran = call("advise", "Pim Dacey")
    assert (ran.status, ran.out) == (3, "")
    assert ran.err.count("\n") == 1
    assert "ZeroDivisionError" in ran.err
    log = tmp_path / "xdg_state_home" / "reelward" / "faults.log"
    written = log.read_text()
    assert "stock.cli.advising advising.py:" in written
    assert "builtins.ZeroDivisionError" in written
    for word in ("Ines", "Pim", "told by", str(tmp_path)):
        assert word not in written
    assert log.stat().st_mode & 0o077 == 0


def test_a_fault_is_told_even_where_no_log_can_be_written(
    call: Call, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    file = tmp_path / "file"
    file.write_text("in the way")
    monkeypatch.setenv("XDG_STATE_HOME", str(file))
    monkeypatch.setattr(Settings, "asking", lambda settings: 1 // 0)
    ran = call("advise")
    assert ran.status == 3
    assert "could not be written" in ran.err


def test_the_demo_takes_other_commands_days_and_people_but_no_database(call: Call, tmp_path: Path) -> None:
    earlier = call("demo", "--today", "2023-03-01", "reels", "--json")
    assert (earlier.status, earlier.answer["as_of"]) == (0, "2023-03-01")
    entered = call("demo", "add", "move", "--reel", "M-0101", "--kind", "out")
    assert entered.status == 0
    assert "M-0101" in call("demo").out
    for args in (["demo", "--db", str(tmp_path / "x"), "advise"], ["demo", "demo"]):
        ran = call(*args)
        assert (ran.status, ran.out) == (2, "")
    assert call("--db", str(tmp_path / "x"), "demo", "advise").status == 2
    assert "there is no command `frob`" in call("demo", "frob").err
