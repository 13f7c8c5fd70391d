"""Every kind of end leaves the terminal as it was: leaving, a crash, a refusal, a signal."""

from __future__ import annotations

import signal
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from stock.desk.desk import Desk
from tests.tui.reel_fixtures import demo_desk
from tests.tui.terminal import Terminal

SCREENS = """
import sys
from tui.app import run
def opening():
    from stock.desk.desk import Desk
    return Desk.open(sys.argv[1], "Tess Amblin")
sys.exit(run(opening))
"""

CRASH = """
import sys
from tui.app import run
from tui.screens.now import NowScreen
def broken(self, ids):
    tess_amblin = "Slack Water, secret"
    raise RuntimeError(f"of {tess_amblin}")
NowScreen._show = broken
def opening():
    from stock.desk.desk import Desk
    return Desk.open(sys.argv[1], "Tess Amblin")
sys.exit(run(opening))
"""

REFUSED = """
import sys
from tui.app import run
from stock.store.errors import NoDatabase
def opening():
    raise NoDatabase(path="nowhere")
try:
    run(opening)
except NoDatabase as error:
    print("refused:", error)
    sys.exit(2)
"""


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        yield desk


@contextmanager
def running(code: str, desk: Desk, state: Path) -> Iterator[Terminal]:
    terminal = Terminal(code, str(desk.store.path), env={"XDG_STATE_HOME": str(state)})
    try:
        yield terminal
    finally:
        terminal.close()


def restored(terminal: Terminal) -> bool:
    """The settings are what they were, the alternate screen is left, the cursor shown, the mouse let go."""
    tail = terminal.output
    return (
        terminal.settings() == terminal.settings_before
        and tail.rfind(b"\x1b[?1049l") > tail.rfind(b"\x1b[?1049h")
        and tail.rfind(b"\x1b[?25h") > tail.rfind(b"\x1b[?25l")
        and tail.rfind(b"\x1b[?1000l") > tail.rfind(b"\x1b[?1000h")
    )


def test_leaving_ends_with_nothing_wrong(desk: Desk, tmp_path: Path) -> None:
    with running(SCREENS, desk, tmp_path / "state") as terminal:
        terminal.read_until(rb"M-0154")
        terminal.send(b"q")
        assert terminal.end() == 0
        assert restored(terminal)
    assert not (tmp_path / "state").exists()


def test_a_crash_ends_with_3_and_a_log_that_carries_no_names(desk: Desk, tmp_path: Path) -> None:
    state = tmp_path / "state"
    with running(CRASH, desk, state) as terminal:
        assert terminal.end() == 3
        assert restored(terminal)
        assert b"stopped by a fault of its own (RuntimeError)" in terminal.output
        for secret in (b"Tess", b"Amblin", b"Slack Water", b"secret", b"Traceback"):
            assert secret not in terminal.output.split(b"\x1b[?1049l")[-1]
    (log,) = (state / "reelward").iterdir()
    text = log.read_text(encoding="utf-8")
    assert "RuntimeError" in text
    assert "in broken" in text
    for secret in ("Tess", "Amblin", "Slack Water", "secret", str(Path.home())):
        assert secret not in text
    assert stat.S_IMODE(log.stat().st_mode) == 0o600


def test_a_house_that_cannot_be_opened_is_refused_after_the_screen_is_left(desk: Desk, tmp_path: Path) -> None:
    with running(REFUSED, desk, tmp_path / "state") as terminal:
        assert terminal.end() == 2
        assert restored(terminal)
        assert b"refused: there is no database at nowhere" in terminal.output


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_signal_leaves_the_terminal_as_it_was(desk: Desk, tmp_path: Path, number: signal.Signals) -> None:
    with running(SCREENS, desk, tmp_path / "state") as terminal:
        terminal.read_until(rb"M-0154")
        terminal.signal(number)
        assert terminal.end() == 128 + number
        assert restored(terminal)
