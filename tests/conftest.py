"""What all tests share: a test that is a coroutine runs in an event loop of its own."""

from __future__ import annotations

import asyncio
import inspect
import os
from collections.abc import Iterator

import pytest


@pytest.hookimpl(tryfirst=True)
def pytest_pyfunc_call(pyfuncitem: pytest.Function) -> bool | None:
    """Run a coroutine test; others are left to pytest."""
    if not inspect.iscoroutinefunction(pyfuncitem.obj):
        return None
    wanted = {name: pyfuncitem.funcargs[name] for name in inspect.signature(pyfuncitem.obj).parameters}
    asyncio.run(pyfuncitem.obj(**wanted))
    return True


@pytest.fixture(scope="session", autouse=True)
def own_state(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test sees or touches what whoever runs it left unfinished."""
    before = os.environ.get("XDG_STATE_HOME")
    os.environ["XDG_STATE_HOME"] = str(tmp_path_factory.mktemp("state"))
    yield
    os.environ.pop("XDG_STATE_HOME")
    if before is not None:
        os.environ["XDG_STATE_HOME"] = before
