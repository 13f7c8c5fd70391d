"""Whether a folder lies on a network file system, where SQLite's locks cannot be relied on."""

from __future__ import annotations

from pathlib import Path

MOUNTS = Path("/proc/self/mountinfo")

NETWORK = frozenset(
    (
        *("9p", "afs", "beegfs", "ceph", "cifs", "coda", "davfs", "gfs", "gfs2", "glusterfs", "gpfs", "kafs"),
        *("lustre", "ncpfs", "nfs", "nfs4", "ocfs2", "orangefs", "pvfs2", "smb", "smb3", "smbfs", "vboxsf", "virtiofs"),
    )
)
"""File systems of the kernel that other machines may write to."""

NETWORK_FUSE = ("sshfs", "rclone", "s3fs", "gcsfuse", "glusterfs", "davfs", "gvfsd", "curlftpfs", "smbnetfs", "ceph")
"""Beginnings of the names after `fuse.` that do the same."""


def network_file_system(folder: Path) -> str | None:
    """The network file system a folder lies on, or None where it is a local one or the system does not say."""
    if str(folder).startswith("\\\\"):
        return "a network share"
    try:
        mounts = MOUNTS.read_text(encoding="utf-8", errors="surrogateescape")
    except OSError:
        return None
    kind = file_system(mounts, folder.resolve())
    return kind if is_network(kind) else None


def is_network(kind: str) -> bool:
    """Whether a file system type, as the mount table names it, is one of the network's."""
    return kind in NETWORK or (kind.startswith("fuse.") and kind[5:].startswith(NETWORK_FUSE))


def file_system(mountinfo: str, folder: Path) -> str:
    """The type of file system that holds an absolute path; empty where the mount table does not say.

    mountinfo: the text of /proc/self/mountinfo; its format is in the Linux manual, proc(5).
    """
    deepest, kind = -1, ""
    for line in mountinfo.splitlines():
        before, dash, after = line.partition(" - ")
        words = before.split(" ")
        if not dash or len(words) < 5:
            continue
        point = Path(_unescaped(words[4]))
        # A later mount on the same point hides the earlier one.
        if folder.is_relative_to(point) and len(point.parts) >= deepest:
            deepest, kind = len(point.parts), after.split(" ")[0]
    return kind


def _unescaped(text: str) -> str:
    for code, character in (("\\040", " "), ("\\011", "\t"), ("\\012", "\n"), ("\\134", "\\")):
        text = text.replace(code, character)
    return text
