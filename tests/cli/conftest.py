"""The demo house as a file, and the program called on it with a clock of its own."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

import pytest

from stock.cli.demo import NOW_US
from stock.cli.main import main
from stock.cli.settings import Settings
from stock.desk.exchanging import load


@dataclass
class Ran:
    """What one call of the program gave."""

    status: int
    out: str
    err: str

    @property
    def answer(self) -> Any:
        return json.loads(self.out)


Call = Callable[..., Ran]


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No test sees or touches the house of whoever runs it."""
    monkeypatch.delenv("REELWARD_DB", raising=False)
    for name in ("XDG_DATA_HOME", "XDG_STATE_HOME", "HOME"):
        monkeypatch.setenv(name, str(tmp_path / name.lower()))


@pytest.fixture(scope="session")
def loaded_house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo house, loaded once; nobody writes to this one."""
    path = tmp_path_factory.mktemp("loaded") / "house.db"
    settings = Settings(database=str(path), who="tester", now_us=lambda: NOW_US)
    with as_file(files("seed")) as folder, settings.entering() as desk:
        loaded = load(desk, folder)
    assert not loaded.found
    return path


@pytest.fixture
def house(loaded_house: Path, tmp_path: Path) -> Path:
    """A copy of the demo house."""
    path = tmp_path / "house" / "house.db"
    path.parent.mkdir()
    shutil.copy(loaded_house, path)
    return path


@pytest.fixture
def call(capsys: pytest.CaptureFixture[str]) -> Call:
    """Call the program at the demo house's evening, on the database given."""

    def run(*args: str, on: Path | None = None) -> Ran:
        settings = Settings(database=str(on) if on else None, who="tester", now_us=lambda: NOW_US)
        status = main(args, settings)
        out, err = capsys.readouterr()
        return Ran(status, out, err)

    return run
