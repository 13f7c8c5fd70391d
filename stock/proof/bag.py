"""Bags (RFC 8493): one made of a copy's folder, and one from elsewhere checked, by the `bagit` library and by rule."""

from __future__ import annotations

import json
import logging
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from stock.edge.visible import safe
from stock.proof.bagrules import bag_rules
from stock.proof.errors import BaggingBroke, CannotBag
from stock.proof.facts import Remark
from stock.proof.files import Entry, Folder, why
from stock.proof.manifest import PAYLOAD
from stock.proof.remarks import remark

ALGORITHMS = ("sha256", "sha512")
"""The hashes a bag may be written with: the two that RFC 8493 has every tool know."""


def write_bag(
    folder: Path, *, info: Mapping[str, str] | None = None, algorithms: Sequence[str] = ("sha256",)
) -> dict[str, str]:
    """Make a copy's folder a bag in its place, and return its SHA-256 by payload path.

    Every file of the folder moves into `data`; nothing is copied and none is changed. info: lines of `bag-info.txt`.
    algorithms: of `ALGORITHMS`, SHA-256 among them. Raises NotReachable, CannotBag where the folder is no single copy
    of plain files (nothing is moved then), BaggingBroke where it was begun and could not be ended.
    """
    if "sha256" not in algorithms or not set(algorithms) <= set(ALGORITHMS):
        raise ValueError(f"not among {ALGORITHMS}, or without sha256: {algorithms}")
    home = Folder(folder)
    try:
        before = _baggable(home)
    finally:
        home.close()
    told = {safe(name): safe(value) for name, value in (info or {}).items()}
    asked = {
        "folder": str(folder.resolve()),
        "info": {"Bag-Software-Agent": "reelward", **told},
        "algorithms": list(algorithms),
    }
    made = subprocess.run(
        [sys.executable, "-P", str(Path(__file__).with_name("bagging.py"))],
        input=json.dumps(asked),
        capture_output=True,
        text=True,
        check=False,
    )
    if made.returncode:
        raise BaggingBroke(
            path=safe(str(folder)), says=safe((made.stderr.strip().splitlines() or ["no reason given"])[-1])
        )
    home = Folder(folder)
    try:
        after, remarks = home.entries()
        rules = bag_rules(home, after)
    finally:
        home.close()
    wrong = [found for found in (*remarks, *rules.remarks) if found.severity == "fail"]
    moved = {(PAYLOAD + entry.path, entry.stamp.size_bytes, entry.stamp.inode) for entry in before}
    if wrong or moved != {(e.path, e.stamp.size_bytes, e.stamp.inode) for e in after if e.path.startswith(PAYLOAD)}:
        says = wrong[0].says if wrong else "the files moved are not the files that were there"
        raise BaggingBroke(path=safe(str(folder)), says=says)
    return rules.manifests["sha256"]


def _baggable(home: Folder) -> list[Entry]:
    """The files of a folder that may be made a bag."""
    shown = safe(str(home.path))
    entries, remarks = home.entries()
    place = home.path.resolve()
    if home.is_bag():
        raise CannotBag(path=shown, says="it is a bag already")
    if place in (Path(place.anchor), Path.home()) or place.is_mount():
        raise CannotBag(path=shown, says="it is a whole medium or a home folder")
    if Path.cwd().is_relative_to(place):
        raise CannotBag(path=shown, says="this program runs inside it")
    for found in remarks:
        if found.severity == "fail" or found.code == "left-out":
            raise CannotBag(path=shown, says=found.says)
    if not entries:
        raise CannotBag(path=shown, says="it holds no file")
    for entry in entries:
        if "%" in entry.path:
            raise CannotBag(path=shown, says=f"{entry.path} has a percent sign in its name, which bags write two ways")
    return entries


def check_bag(folder: Path) -> tuple[dict[str, str], tuple[Remark, ...]]:
    """Check a bag in full, and return the SHA-256 its manifest gives by payload path, with all that is wrong.

    The rules of RFC 8493 first, then the library's own validation, which reads every file. The manifest is empty where
    the bag has none of SHA-256; it is good for anything only where no remark is a failure. Raises NotReachable.
    """
    home = Folder(folder)
    try:
        entries, remarks = home.entries()
        if not home.is_bag():
            return {}, (*remarks, remark("bag-invalid", "it is no bag: it has no bagit.txt"))
        rules = bag_rules(home, entries)
        remarks += rules.remarks
        if not any(found.severity == "fail" for found in remarks):
            remarks += library_remarks(home, hashes=True)
    finally:
        home.close()
    return rules.manifests.get("sha256", {}), tuple(remarks)


def library_remarks(home: Folder, *, hashes: bool) -> list[Remark]:
    """What the library finds wrong with a bag of regular files; with its hashes, or its completeness alone."""
    import bagit  # type: ignore[import-untyped]

    log = logging.getLogger("bagit")
    if not log.handlers:
        # Its warnings are in what it raises; without a handler they would land on the screen.
        log.addHandler(logging.NullHandler())
    try:
        bagit.Bag(str(home.path.resolve())).validate(completeness_only=not hashes)
    except (bagit.BagError, OSError, ValueError, LookupError) as error:
        return [remark("bag-invalid", f"the bag is not valid: {why(error)}")]
    return []
