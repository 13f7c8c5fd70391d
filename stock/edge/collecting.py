"""Python's collector of cycles, paused where millions of rows are made that hold none."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_collecting() -> Iterator[None]:
    """Facts hold no cycles, and looking for some among a million of them costs nearly as much as reading them."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()
