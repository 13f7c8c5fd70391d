"""Regular files under a folder, and nothing else: no links, pipes or devices are opened, and no link is followed."""

from __future__ import annotations

import os
import stat
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from stock.edge.visible import safe
from stock.proof.errors import NotReachable
from stock.proof.facts import Remark
from stock.proof.remarks import remark

MOST_FILES = 20_000
"""A folder with more is not one transfer's copy."""

BAG_DECLARATION = "bagit.txt"
"""The file that makes a folder a bag."""

_DEEPEST = 32
_OPEN_FOLDER = os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW | os.O_CLOEXEC
# Without O_NONBLOCK, opening a pipe put in a file's place would wait for a writer for ever.
_OPEN_FILE = os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_NOCTTY | os.O_CLOEXEC
_KINDS = {
    stat.S_IFLNK: "a link",
    stat.S_IFIFO: "a pipe",
    stat.S_IFCHR: "a device",
    stat.S_IFBLK: "a device",
    stat.S_IFSOCK: "a socket",
}
_MANAGERS_OWN = {".ds_store", "thumbs.db", "desktop.ini"}


class Stamp(NamedTuple):
    """What tells a file that was written to from one that was not."""

    size_bytes: int
    mtime_ns: int
    ctime_ns: int
    device: int
    inode: int

    @classmethod
    def of(cls, found: os.stat_result) -> Stamp:
        return cls(found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_dev, found.st_ino)


class Entry(NamedTuple):
    """A regular file: its path in the folder, with slashes, and its stamp when it was listed."""

    path: str
    stamp: Stamp


class NotRegular(OSError):
    """What was a regular file when the folder was listed is none now."""


class Folder:
    """A folder held open, so that what is listed and what is read lie in the same one.

    Raises NotReachable where there is none. The person's own path may go through links; nothing below it may.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            self._root = os.open(path.resolve(strict=True), _OPEN_FOLDER)
        except (OSError, RuntimeError, ValueError) as error:
            raise NotReachable(path=safe(str(path)), says=why(error)) from error
        self._stamp = Stamp.of(os.fstat(self._root))

    def close(self) -> None:
        os.close(self._root)

    def gone(self) -> bool:
        """Whether the folder is no longer where it was: the medium was taken away while it was read."""
        try:
            now = self.path.resolve(strict=True).stat()
            os.stat(".", dir_fd=self._root)
        except (OSError, RuntimeError):
            return True
        return (now.st_dev, now.st_ino) != (self._stamp.device, self._stamp.inode)

    def is_bag(self) -> bool:
        """Whether the folder says that it is a bag (RFC 8493)."""
        return self.stamp(BAG_DECLARATION) is not None

    def entries(self) -> tuple[list[Entry], list[Remark]]:
        """Every regular file, by path, and remarks on all that is none or cannot be listed.

        What file managers leave in folders is left out, but not of a bag: its manifests name every file.
        """
        keep_all = self.is_bag()
        found: list[Entry] = []
        remarks: list[Remark] = []
        folders = [""]
        while folders:
            inside = folders.pop()
            try:
                with self._folder(inside) as handle:
                    with os.scandir(handle) as listed:
                        names = sorted(item.name for item in listed)
                    for name in names:
                        path = f"{inside}/{name}" if inside else name
                        kind = self._sort(handle, name, path, found, remarks, keep_all)
                        if kind == stat.S_IFDIR:
                            folders.append(path)
            except OSError as error:
                says = f"the folder {safe(inside) or '.'} cannot be read: {why(error)}"
                remarks.append(remark("cannot-read", says, path=safe(inside)))
            if len(found) + len(remarks) + len(folders) > MOST_FILES or inside.count("/") > _DEEPEST:
                says = f"more than {MOST_FILES} files, or folders more than {_DEEPEST} deep: this is not one copy"
                remarks.append(remark("cannot-read", says))
                break
        found.sort()
        remarks.extend(_clashes(found))
        return found, remarks

    def _sort(
        self, handle: int, name: str, path: str, found: list[Entry], remarks: list[Remark], keep_all: bool
    ) -> int:
        shown = safe(path)
        try:
            about = os.stat(name, dir_fd=handle, follow_symlinks=False)
        except OSError as error:
            remarks.append(remark("cannot-read", f"{shown} cannot be looked at: {why(error)}", path=shown))
            return 0
        kind = stat.S_IFMT(about.st_mode)
        if kind not in (stat.S_IFREG, stat.S_IFDIR):
            says = f"{shown} is {_KINDS.get(kind, 'no regular file')}, and only regular files are opened"
            remarks.append(remark("not-regular", says, path=shown))
        elif safe(name) != name or "\\" in name:
            says = f"{shown} has a character in its name that cannot be seen or does not keep on other systems"
            remarks.append(remark("name-unsafe", says, path=shown))
            return 0
        elif kind == stat.S_IFREG:
            if not keep_all and (name.casefold() in _MANAGERS_OWN or name.startswith("._")):
                says = f"{shown} belongs to a file manager, not to the transfer, and is left out"
                remarks.append(remark("left-out", says, path=shown))
            else:
                found.append(Entry(path, Stamp.of(about)))
        return kind

    @contextmanager
    def _folder(self, inside: str) -> Iterator[int]:
        handle = os.dup(self._root)
        try:
            for part in inside.split("/") if inside else ():
                deeper = os.open(part, _OPEN_FOLDER, dir_fd=handle)
                os.close(handle)
                handle = deeper
            yield handle
        finally:
            os.close(handle)

    @contextmanager
    def opened(self, path: str) -> Iterator[int]:
        """A file of the folder, open for reading. Raises OSError, of it NotRegular where it is no regular file."""
        inside, _, name = path.rpartition("/")
        with self._folder(inside) as handle:
            about = os.stat(name, dir_fd=handle, follow_symlinks=False)
            if not stat.S_ISREG(about.st_mode):
                raise NotRegular(0, "it is no regular file any more")
            file = os.open(name, _OPEN_FILE, dir_fd=handle)
        try:
            if not stat.S_ISREG(os.fstat(file).st_mode):
                raise NotRegular(0, "it is no regular file any more")
            yield file
        finally:
            os.close(file)

    def stamp(self, path: str) -> Stamp | None:
        """The stamp of what stands at a path now, None where nothing does."""
        inside, _, name = path.rpartition("/")
        with suppress(OSError), self._folder(inside) as handle:
            return Stamp.of(os.stat(name, dir_fd=handle, follow_symlinks=False))
        return None

    def small(self, path: str, most_bytes: int) -> bytes:
        """The content of a small file. Raises OSError where it cannot be read or is larger."""
        with self.opened(path) as file:
            content = b""
            while part := os.pread(file, most_bytes + 1 - len(content), len(content)):
                content += part
            if len(content) > most_bytes:
                raise OSError(0, f"it is larger than {most_bytes} bytes")
            return content


def why(error: BaseException) -> str:
    """An error's reason in a few words, without the path (which is said beside it)."""
    return safe((getattr(error, "strerror", None) or str(error) or type(error).__name__).rstrip("."))


def folded(path: str) -> str:
    """A path as file systems that know no case, or one form of an accent, take it."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", path).casefold())


def _clashes(found: list[Entry]) -> list[Remark]:
    held: dict[str, str] = {}
    remarks: list[Remark] = []
    for entry in found:
        other = held.setdefault(folded(entry.path), entry.path)
        if other != entry.path:
            says = f"{entry.path} and {other} are one name on some file systems: a copy there would lose one"
            remarks.append(remark("name-clash", says, path=entry.path))
    return remarks
