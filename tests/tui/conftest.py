"""Pilots press keys faster than any hand: no run of them is taken for a scan but where a test asks for it."""

from __future__ import annotations

import pytest

from tui import scan
from tui.app import ReelwardApp


@pytest.fixture(autouse=True)
def _no_scans(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scan, "BURST_S", 0.0)


@pytest.fixture(autouse=True)
def _begins_on_the_shelf(monkeypatch: pytest.MonkeyPatch) -> None:
    """Most of these tests are about reels; those of the first place say that they begin there."""
    monkeypatch.setattr(ReelwardApp, "DEFAULT_MODE", "shelf")
