"""The empty store the small studios of the tests are entered against."""

from tests.core.conftest import empty

__all__ = ["empty"]
