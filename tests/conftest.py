"""What all tests share: a test that is a coroutine runs in an event loop of its own."""

from __future__ import annotations

import asyncio
import inspect

import pytest


@pytest.hookimpl(tryfirst=True)
def pytest_pyfunc_call(pyfuncitem: pytest.Function) -> bool | None:
    """Run a coroutine test; others are left to pytest."""
    if not inspect.iscoroutinefunction(pyfuncitem.obj):
        return None
    wanted = {name: pyfuncitem.funcargs[name] for name in inspect.signature(pyfuncitem.obj).parameters}
    asyncio.run(pyfuncitem.obj(**wanted))
    return True
