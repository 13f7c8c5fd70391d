"""What was typed into a form and not entered: kept in the user's state folder, for one person at one database.

A draft enters nothing. It is offered again where the same form is opened, and is gone once it is entered or thrown
away. What cannot be read is set aside.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from threading import Lock
from typing import NamedTuple

from stock.exchange.papers import write_whole
from tui.crash import log_folder


class Draft(NamedTuple):
    """An unfinished form. form: which; about: the reel or order it is about, or empty. cells: what was typed, by field.

    at_us: when it was last typed in, by the house's clock. sent: whether it was on its way into the record.
    """

    form: str
    about: str
    cells: Mapping[str, str]
    at_us: int
    sent: bool = False


class Drafts:
    """The drafts of one person at one database. Its methods may be called from any thread.

    folder: where they lie, made with the first; it and what is in it are for their owner alone.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._lock = Lock()
        self._held: dict[tuple[str, str], Draft | None] = {}

    @classmethod
    def of(cls, database: Path, who: str, base: Path | None = None) -> Drafts:
        """Those of a person at a database. base: where drafts lie, else in the user's state folder."""
        name = sha256(f"{database.absolute()}\0{who}".encode()).hexdigest()[:20]
        return cls((base or log_folder()) / "drafts" / name)

    def hold(self, draft: Draft) -> None:
        """Take a draft as the newest of its form: what is written from now on is this one."""
        self._held[draft.form, draft.about] = draft

    def write(self, form: str, about: str) -> None:
        """Bring the file of a form to what is held of it; OSError where the folder takes none."""
        with self._lock:
            if (form, about) not in self._held:
                return
            draft = self._held[form, about]
            path = self._path(form, about)
            if draft is None:
                path.unlink(missing_ok=True)
                return
            self._folder.parent.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._folder.parent.mkdir(mode=0o700, exist_ok=True)
            self._folder.mkdir(mode=0o700, exist_ok=True)
            write_whole(path, json.dumps({**draft._asdict(), "cells": dict(draft.cells)}).encode())

    def forget(self, form: str, about: str) -> None:
        """Take a draft as entered or thrown away; `write` removes its file."""
        self._held[form, about] = None

    def find(self, form: str, about: str) -> Draft | None:
        """The draft of a form, or None."""
        if (form, about) in self._held:
            return self._held[form, about]
        with self._lock:
            return _read(self._path(form, about))

    def left(self) -> list[Draft]:
        """Every form left unfinished, newest first."""
        with self._lock:
            found = [_read(path) for path in sorted(self._folder.glob("*.json"))] if self._folder.is_dir() else []
        drafts = {(draft.form, draft.about): draft for draft in found if draft is not None}
        held = {**drafts, **self._held}
        return sorted((draft for draft in held.values() if draft), key=lambda draft: (-draft.at_us, draft[:2]))

    def _path(self, form: str, about: str) -> Path:
        return self._folder / f"{sha256(f'{form}{chr(0)}{about}'.encode()).hexdigest()[:20]}.json"


def _read(path: Path) -> Draft | None:
    """A draft from its file; one that is none is set aside under another name."""
    try:
        found = json.loads(path.read_bytes())
        cells = {_text(name): _text(typed) for name, typed in found["cells"].items()}
        return Draft(_text(found["form"]), _text(found["about"]), cells, int(found["at_us"]), bool(found["sent"]))
    except FileNotFoundError:
        return None
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError, OverflowError):
        try:
            path.replace(path.with_suffix(".unreadable"))
        except OSError:  # what cannot be moved either stays where it is, and is none
            return None
        return None


def _text(found: object) -> str:
    if not isinstance(found, str):
        raise ValueError(found)
    return found
