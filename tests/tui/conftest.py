"""Pilots press keys faster than any hand: no run of them is taken for a scan but where a test asks for it."""

from __future__ import annotations

import pytest

from tui import scan


@pytest.fixture(autouse=True)
def _no_scans(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scan, "BURST_S", 0.0)
