"""The core stands on the standard library alone."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import stock

FOREIGN = ("sqlalchemy", "pydantic", "pint", "textual", "rich", "numpy", "click", "alembic", "sqlite3")
SCRIPT = """
import importlib, pkgutil, sys
import stock.core
names = [module.name for module in pkgutil.walk_packages(stock.core.__path__, "stock.core.")]
for name in names:
    importlib.import_module(name)
rooms = {name.split(".")[1] for name in sys.modules if name.startswith("stock.")}
print(len(names), *sorted(rooms - {"core"}), *sorted(set(sys.argv[1:]) & set(sys.modules)))
"""


def test_importing_all_of_the_core_pulls_in_nothing_else() -> None:
    root = Path(stock.__file__).parents[1]
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, *FOREIGN], cwd=root, capture_output=True, text=True, check=True
    )
    modules, *foreign = done.stdout.split()
    assert foreign == []
    assert int(modules) == len(list(Path(stock.__file__).with_name("core").rglob("*.py"))) - 1
