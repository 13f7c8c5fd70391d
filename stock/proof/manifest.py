"""Payload manifests as RFC 8493 writes them: a line for each file, its hash and its path."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from typing import TypeVar

from stock.proof.facts import FileFacts

PAYLOAD = "data/"

_Value = TypeVar("_Value")


def manifest_of(files: Iterable[FileFacts]) -> tuple[str, str]:
    """The manifest of the files by path, and its SHA-256.

    Paths are as in the folder, so `sha256sum -c` takes it too; a line end or a percent sign in one is written as
    RFC 8493 asks.
    """
    text = "".join(f"{file.sha256}  {encoded(file.path)}\n" for file in sorted(files, key=lambda file: file.path))
    return text, hashlib.sha256(text.encode()).hexdigest()


def encoded(path: str) -> str:
    """A path as a manifest writes it."""
    return path.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def decoded(path: str) -> str:
    """A path as a manifest means it."""
    for sign, code in (("\r", "%0D"), ("\n", "%0A")):
        path = path.replace(code, sign).replace(code.lower(), sign)
    return path.replace("%25", "%")


def in_payload(by_path: Mapping[str, _Value]) -> dict[str, _Value]:
    """The same by path inside the payload, so that a bag and the plain folder it was made of can be compared."""
    if by_path and all(path.startswith(PAYLOAD) for path in by_path):
        return {path.removeprefix(PAYLOAD): value for path, value in by_path.items()}
    return dict(by_path)
