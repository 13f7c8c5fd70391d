"""Pilots press keys faster than any hand: no run of them is taken for a scan but where a test asks for it."""

from __future__ import annotations

import pytest
from textual import _wait

from tui import scan
from tui.app import ReelwardApp


@pytest.fixture(autouse=True)
def _no_scans(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scan, "BURST_S", 0.0)


@pytest.fixture(autouse=True)
def _begins_on_the_shelf(monkeypatch: pytest.MonkeyPatch) -> None:
    """Most of these tests are about reels; those of the first place say that they begin there."""
    monkeypatch.setattr(ReelwardApp, "DEFAULT_MODE", "shelf")


@pytest.fixture(autouse=True)
def _soon_idle(monkeypatch: pytest.MonkeyPatch) -> None:
    """A pilot looks ten times as often whether all is quiet: half of the time these tests took was its waiting."""
    monkeypatch.setattr(_wait, "SLEEP_GRANULARITY", 1 / 500)
    monkeypatch.setattr(_wait, "SLEEP_IDLE", 1 / 5000)
