"""The rules of RFC 8493 that a bag's own files must keep, each looked at here.

The library reads a bag kindly: a file named by one manifest and not by another, a broken line or a second naming of
one file pass it by. What a copy's hashes are taken from must not.
"""

from __future__ import annotations

import codecs
import hashlib
import re
from collections.abc import Mapping
from typing import NamedTuple

from stock.edge.visible import safe
from stock.proof.facts import Remark
from stock.proof.files import BAG_DECLARATION, Entry, Folder, folded, why
from stock.proof.manifest import PAYLOAD, decoded
from stock.proof.remarks import remark

_LARGEST_TAG_FILE = 64 * 1024 * 1024
_DECLARATION = re.compile(
    rb"BagIt-Version: ([0-9]+\.[0-9]+)(?:\r\n|\n|\r)Tag-File-Character-Encoding: ([A-Za-z0-9_.:-]+)(?:\r\n|\n|\r)?"
)
_VERSIONS = (b"0.97", b"1.0")
_MANIFEST = re.compile(r"(tag)?manifest-([a-z0-9]+)\.txt")
_LINE = re.compile(r"([0-9A-Fa-f]+)[ \t]+(.+)")
_FETCH = re.compile(r"\S+[ \t]+(?:[0-9]+|-)[ \t]+(.+)")
_DIGITS = {"md5": 32, "sha1": 40, "sha224": 56, "sha256": 64, "sha384": 96, "sha512": 128}
"""Hexadecimal digits of the hashes that can be verified here."""


class BagRules(NamedTuple):
    """What a bag's own files say. manifests: hash by payload path, by algorithm. remarks: every rule that is broken."""

    manifests: dict[str, dict[str, str]]
    remarks: tuple[Remark, ...]


class _Broken(Exception):
    """A rule that is broken so that nothing more can be read."""


def bag_rules(folder: Folder, entries: list[Entry]) -> BagRules:
    """Look at everything of a bag but the content of its payload. entries: every file under the folder."""
    reader = _Reader(folder, {entry.path for entry in entries})
    try:
        reader.read()
    except _Broken as error:
        reader.broken(str(error))
    return BagRules(reader.manifests, tuple(reader.remarks))


class _Reader:
    def __init__(self, folder: Folder, paths: set[str]) -> None:
        self.manifests: dict[str, dict[str, str]] = {}
        self.remarks: list[Remark] = []
        self._folder = folder
        self._paths = paths
        self._payload = {path for path in paths if path.startswith(PAYLOAD)}
        self._encoding = "utf-8"

    def broken(self, says: str, path: str | None = None) -> None:
        self.remarks.append(remark("bag-invalid", says, path=path))

    def read(self) -> None:
        self._declaration()
        named = {path: found for path in sorted(self._paths) if (found := _MANIFEST.fullmatch(path))}
        for path, found in named.items():
            if found[1]:
                continue
            if found[2] not in _DIGITS:
                self.broken(f"{path} is of a kind of hash that cannot be verified here", path)
                continue
            self.manifests[found[2]] = self._lines(path, found[2])
            self._payload_manifest(path, self.manifests[found[2]])
        if not self.manifests:
            raise _Broken("the bag has no payload manifest")
        if "fetch.txt" in self._paths:
            self._fetch()
        for path, found in named.items():
            if found[1] and found[2] in _DIGITS:
                self._tag_manifest(path, found[2])
            elif found[1]:
                self.broken(f"{path} is of a kind of hash that cannot be verified here", path)

    def _declaration(self) -> None:
        content = self._content(BAG_DECLARATION)
        if content.startswith(codecs.BOM_UTF8):
            raise _Broken(f"{BAG_DECLARATION} begins with a byte-order mark")
        found = _DECLARATION.fullmatch(content)
        if found is None:
            raise _Broken(f"{BAG_DECLARATION} does not state version and encoding in its two lines")
        if found[1] not in _VERSIONS:
            raise _Broken(f"the bag is of version {found[1].decode()}; 0.97 and 1.0 are known here")
        try:
            self._encoding = codecs.lookup(found[2].decode()).name
        except LookupError as error:
            raise _Broken(f"the bag's files are in an unknown encoding, {found[2].decode()}") from error

    def _content(self, path: str) -> bytes:
        if path not in self._paths:
            raise _Broken(f"{path} is missing or no regular file")
        try:
            return self._folder.small(path, _LARGEST_TAG_FILE)
        except OSError as error:
            raise _Broken(f"{path} cannot be read: {why(error)}") from error

    def _text_lines(self, path: str) -> list[str]:
        try:
            text = self._content(path).decode(self._encoding)
        except (UnicodeDecodeError, LookupError) as error:
            raise _Broken(f"{path} is not in the encoding that {BAG_DECLARATION} states") from error
        if text.startswith("\ufeff"):
            self.broken(f"{path} begins with a byte-order mark", path)
        lines = re.split("\r\n|\n|\r", text.removeprefix("\ufeff"))
        return lines if lines[-1] else lines[:-1]

    def _lines(self, path: str, algorithm: str) -> dict[str, str]:
        """The paths a manifest names, each with its hash."""
        named: dict[str, str] = {}
        forms: dict[str, str] = {}
        for number, line in enumerate(self._text_lines(path), 1):
            found = _LINE.fullmatch(line)
            if found is None or len(found[1]) != _DIGITS[algorithm]:
                self.broken(f"{path}, line {number}: not a hash and a path", path)
                continue
            name = decoded(found[2])
            fault = _unsafe(name) or ("is named twice" if name in named else None)
            if fault:
                self.broken(f"{path}, line {number}: {safe(name)} {fault}", path)
                continue
            other = forms.setdefault(folded(name), name)
            if other != name:
                says = f"{path}, line {number}: {name} and {other} are one name on some file systems"
                self.remarks.append(remark("name-clash", says, path=path))
            named[name] = found[1].lower()
        return named

    def _payload_manifest(self, path: str, named: Mapping[str, str]) -> None:
        """Every payload file is in every payload manifest, and what that names is in the payload."""
        for name in sorted(named):
            if not name.startswith(PAYLOAD):
                self.broken(f"{path} names {name}, which is not in the payload", path)
            elif name not in self._payload:
                self.broken(f"{path} names {name}, which is not there", name)
        for name in sorted(self._payload - set(named)):
            self.broken(f"{name} is in the payload and not in {path}", name)

    def _fetch(self) -> None:
        """Every file that is still to be fetched is in every payload manifest; being not there, it is missing."""
        for number, line in enumerate(self._text_lines("fetch.txt"), 1):
            found = _FETCH.fullmatch(line)
            name = decoded(found[1]) if found else ""
            fault = _unsafe(name) if found else "is no address, length and path"
            if fault or not name.startswith(PAYLOAD):
                self.broken(f"fetch.txt, line {number}: {safe(name or line)} {fault or 'is not in the payload'}")
                continue
            for algorithm, named in self.manifests.items():
                if name not in named:
                    self.broken(f"fetch.txt names {name}, which manifest-{algorithm}.txt does not", name)

    def _tag_manifest(self, path: str, algorithm: str) -> None:
        """What a tag manifest names is there and unchanged, and is neither payload nor a tag manifest."""
        for name, digest in self._lines(path, algorithm).items():
            kind = _MANIFEST.fullmatch(name)
            if name.startswith(PAYLOAD) or (kind is not None and kind[1]):
                self.broken(f"{path} names {name}, which no tag manifest may", path)
            elif name not in self._paths:
                self.broken(f"{path} names {name}, which is not there", name)
            elif hashlib.new(algorithm, self._content(name)).hexdigest() != digest:
                self.broken(f"{name} is not what {path} says: their hashes differ", name)


def _unsafe(name: str) -> str | None:
    """Why a path may not be followed, None where it may."""
    parts = name.split("/")
    if name.startswith(("/", "~")) or re.match("[A-Za-z]:", name) or "\\" in name or ".." in parts:
        return "leads out of the bag"
    if "" in parts or "." in parts or name.startswith("*"):
        return "is not written as a plain path"
    return "has a character that cannot be seen" if safe(name) != name else None
