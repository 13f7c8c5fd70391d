"""Which kind of audio file one is, by its first bytes and never by its name alone."""

from __future__ import annotations

from pathlib import PurePosixPath

from stock.proof.aiff import aiff
from stock.proof.headers import Header, HeaderError, Source, flac
from stock.proof.remarks import remark
from stock.proof.riff import riff

_READERS = {b"RIFF": riff, b"RF64": riff, b"FORM": aiff, b"fLaC": flac}
_ENDINGS = {
    ".wav", ".wave", ".bwf", ".rf64", ".bw64", ".w64", ".aif", ".aiff", ".aifc", ".flac", ".caf", ".mp3", ".m4a",
    ".aac", ".ogg", ".opus", ".wma", ".sd2", ".raw", ".pcm",
}  # fmt: skip


def claims_audio(path: str) -> bool:
    """Whether a file's name says that it is audio."""
    return PurePosixPath(path).suffix.lower() in _ENDINGS


def header(path: str, source: Source) -> Header | None:
    """What a file's header says, None for a file that is no audio and does not claim to be.

    A claim that is not kept, a kind a transfer is not kept in, and a header that makes no sense are faults of it.
    """
    if not source.size_bytes:
        return Header(None, None, (remark("not-audio", "it is empty"),)) if claims_audio(path) else None
    reader = _READERS.get(source.bytes_at(0, min(4, source.size_bytes)))
    if reader is None:
        if not claims_audio(path):
            return None
        says = "it is not WAV, Broadcast Wave, RF64, AIFF or FLAC, whatever its name says"
        return Header(None, None, (remark("not-audio", says),))
    try:
        return reader(source)
    except HeaderError as error:
        return Header(None, None, (remark(error.code, str(error)),))
