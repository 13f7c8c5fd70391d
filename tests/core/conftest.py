"""An empty store to enter against, one for the whole run: nothing is ever written to it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from stock.store.store import Store

from .entry import NOW_US


@pytest.fixture(scope="session")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    store = Store.open(tmp_path_factory.mktemp("empty") / "house.db", now_us=lambda: NOW_US)
    yield store
    store.close()
