"""Samples of a file by libsndfile, decoded in a thread of their own while the same file is hashed."""

from __future__ import annotations

import os
import re
import threading
from collections.abc import Iterator
from queue import SimpleQueue
from typing import TYPE_CHECKING

from stock.edge.visible import safe
from stock.proof.facts import Format

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float32]

_BLOCKS = 4
"""Blocks of sound in memory at once."""

PLAIN = {
    "PCM_S8": ("PCM", 8), "PCM_U8": ("PCM", 8), "PCM_16": ("PCM", 16), "PCM_24": ("PCM", 24), "PCM_32": ("PCM", 32),
    "FLOAT": ("FLOAT", 32), "DOUBLE": ("FLOAT", 64),
}  # fmt: skip
"""What libsndfile calls samples that are kept without loss."""


_PREFACE = re.compile(r"^Error(?: in \w+ file)?\s*[.:]\s*")


class DecodeError(Exception):
    """What the decoder cannot make sense of, in its own words."""


class Decoder:
    """Decodes an open file front to back into blocks of float32, frames by channels.

    The file is read through a descriptor of its own position, so whoever shares the file must read at places. Raises
    DecodeError where the decoder refuses the file or takes it for another format than its header states.
    """

    def __init__(self, file: int, stated: Format, block_frames: int) -> None:
        import numpy as np
        import soundfile  # type: ignore[import-untyped]

        class Forward(soundfile.SoundFile):  # type: ignore[misc]
            """A file read from front to back: without a seek after every block, which FLAC pays for dearly."""

            def seekable(self) -> bool:
                return False

        os.lseek(file, 0, os.SEEK_SET)
        try:
            self._sound = Forward(file, closefd=False)
        except (RuntimeError, ValueError, TypeError, OSError) as error:
            raise DecodeError(_words(error)) from error
        found = self._sound
        coding, bits = PLAIN.get(found.subtype, (found.subtype, stated.bits))
        if (found.channels, found.samplerate, coding) != (stated.channels, stated.rate_hz, stated.coding):
            found.close()
            raise DecodeError(f"the decoder takes it for {found.channels} channels, {found.samplerate} Hz, {coding}")
        self.bits = bits
        self.frames = int(found.frames)
        self._block_frames = block_frames
        self._free: SimpleQueue[Samples | None] = SimpleQueue()
        self._full: SimpleQueue[tuple[Samples, int] | DecodeError] = SimpleQueue()
        for _ in range(_BLOCKS):
            self._free.put(np.empty((block_frames, stated.channels), np.float32))
        self._ended = self._closing = False
        self._thread = threading.Thread(target=self._decode, name="decode", daemon=True)
        self._thread.start()

    def _decode(self) -> None:
        try:
            while (block := self._free.get()) is not None and not self._closing:
                count = len(self._sound.read(self._block_frames, dtype="float32", always_2d=True, out=block))
                self._full.put((block, count))
                if count < self._block_frames:
                    return
        except Exception as error:
            # Whatever it is, whoever waits for the next block must hear of it.
            self._full.put(DecodeError(_words(error)))

    def ready(self, *, wait: bool) -> Iterator[Samples]:
        """The blocks decoded by now, or all that are left where `wait` is set.

        Each is good until the next is asked for. Raises DecodeError where the sound cannot be decoded any further.
        """
        while not self._ended and (wait or not self._full.empty()):
            found = self._full.get()
            if isinstance(found, DecodeError):
                self._ended = True
                raise found
            block, count = found
            self._ended = count < self._block_frames
            if count:
                yield block[:count]
            self._free.put(block)

    def close(self) -> None:
        """Stop decoding and let go of the file."""
        self._closing = True
        self._free.put(None)
        self._thread.join()
        self._sound.close()


def _words(error: BaseException) -> str:
    """What the decoder says, without its habit of calling everything an error."""
    said = str(getattr(error, "error_string", error)).strip().rstrip(".")
    return _PREFACE.sub("", safe(said)) or "it gives no reason"
