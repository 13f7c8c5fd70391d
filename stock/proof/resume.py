"""The record of a reading that was stopped: what was read already, checked before a word of it is believed."""

from __future__ import annotations

import hashlib
import json
import os
import time
import uuid
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from stock.edge.visible import safe
from stock.proof.expectation import Limits
from stock.proof.facts import Remark
from stock.proof.files import Entry, Folder, why
from stock.proof.reading import FileResult
from stock.proof.remarks import remark

_VERSION = 1
_LARGEST = 64 * 1024 * 1024


class Unfinished:
    """Results kept in a file between one run and the next; without a file, nowhere.

    They are good for the same folder, limits and hashes, for files of the same size, times and place on the disk, and
    for so long as the limits say.
    """

    def __init__(self, path: Path | None, folder: Folder, limits: Limits, algorithms: Iterable[str]) -> None:
        self._path = path
        self._limits_us = limits.resume_us
        self._about = [str(folder.path.resolve()), list(limits), sorted(algorithms)]
        self.remarks: list[Remark] = []

    def load(self, entries: list[Entry]) -> dict[str, FileResult]:
        """Results of an earlier run that still hold, by path."""
        if self._path is None or not self._path.exists():
            return {}
        try:
            results = self._read(self._path)
        except (OSError, ValueError, KeyError, TypeError) as error:
            says = f"what was read before cannot be used: {why(error)}"
            self.remarks.append(remark("resume-refused", says, path=safe(str(self._path))))
            return {}
        stamps = {entry.path: entry.stamp for entry in entries}
        return {result.path: result for result in results if stamps.get(result.path) == result.stamp}

    def _read(self, path: Path) -> list[FileResult]:
        from pydantic import TypeAdapter

        if not path.is_file():
            raise ValueError("it is no file")
        with path.open("rb") as file:
            content = file.read(_LARGEST + 1)
        kept: dict[str, Any] = json.loads(content)
        if kept["sha256"] != _digest(kept["body"]):
            raise ValueError("it was damaged or written by another hand")
        body = kept["body"]
        if body["version"] != _VERSION or body["about"] != json.loads(json.dumps(self._about)):
            raise ValueError("it is of another folder, or of other limits")
        age_us = time.time_ns() // 1000 - body["made_us"]
        if not 0 <= age_us < self._limits_us:
            raise ValueError("it is too old")
        return TypeAdapter(list[FileResult]).validate_python(body["results"])

    def save(self, results: Iterable[FileResult]) -> None:
        """Keep the results so far, as a whole or not at all."""
        if self._path is None:
            return
        from pydantic import TypeAdapter

        listed = TypeAdapter(list[FileResult]).dump_python(list(results), mode="json")
        made_us = time.time_ns() // 1000
        body = {"version": _VERSION, "about": self._about, "made_us": made_us, "results": listed}
        body = json.loads(json.dumps(body))
        unfinished = self._path.with_name(f".{self._path.name}.{uuid.uuid4().hex}.new")
        try:
            with unfinished.open("x", encoding="utf-8") as file:
                json.dump({"sha256": _digest(body), "body": body}, file)
                file.flush()
                os.fsync(file.fileno())
            unfinished.replace(self._path)
        except OSError as error:
            unfinished.unlink(missing_ok=True)
            if not any(found.code == "resume-unsaved" for found in self.remarks):
                says = f"how far the reading got cannot be kept: {why(error)}"
                self.remarks.append(remark("resume-unsaved", says, path=safe(str(self._path))))

    def drop(self) -> None:
        """The reading came to its end: nothing of it is to be taken up again."""
        if self._path is not None and self._path.is_file():
            self._path.unlink()


def _digest(body: object) -> str:
    return hashlib.sha256(json.dumps(body, sort_keys=True).encode()).hexdigest()
