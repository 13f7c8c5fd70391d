"""Audio files made byte by byte, so that every field of a header can be set wrong; and expectations they meet."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np

from stock.core.tracks import mask_of
from stock.proof.expectation import Expectation

RATE_HZ = 48_000
SECONDS = 2


def samples(seconds: float = SECONDS, *, seed: int = 1, rate_hz: int = RATE_HZ, level: float = 0.1) -> np.ndarray:
    """Noise as 24-bit integers, for one track."""
    noise = np.random.default_rng(seed).standard_normal(int(seconds * rate_hz)) * level
    return (np.clip(noise, -0.99, 0.99) * 2**23).astype(np.int32)


def packed(channels: np.ndarray) -> bytes:
    """24-bit integers, frames or frames by channels, as little-endian bytes."""
    return np.ascontiguousarray(channels, "<i4").view(np.uint8).reshape(-1, 4)[:, :3].tobytes()


def chunk(name: bytes, content: bytes, size: int | None = None) -> bytes:
    return name + struct.pack("<I", len(content) if size is None else size) + content + b"\0" * (len(content) & 1)


def form(channels: int = 1, rate_hz: int = RATE_HZ, bits: int = 24, code: int = 1, block: int | None = None) -> bytes:
    frame = channels * bits // 8 if block is None else block
    return struct.pack("<HHIIHH", code, channels, rate_hz, rate_hz * frame, frame, bits)


def bext(time_reference: int, description: str = "", history: bytes = b"") -> bytes:
    fixed = struct.pack("<256s32s32s10s8sQH", description.encode(), b"reelward", b"", b"", b"", time_reference, 1)
    return fixed.ljust(602, b"\0") + history


def wave(
    sound: bytes, *before: bytes, shape: bytes | None = None, after: bytes = b"", size: int | None = None
) -> bytes:
    """A WAVE file of ready chunks around its sound."""
    body = b"WAVE" + b"".join(before) + chunk(b"fmt ", shape or form()) + chunk(b"data", sound) + after
    return b"RIFF" + struct.pack("<I", len(body) if size is None else size) + body


def track_file(folder: Path, track: int, *before: bytes, seconds: float = SECONDS, name: str = "") -> Path:
    """A sound file of one track, named by it."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / (name or f"{track:02d} track.wav")
    path.write_bytes(wave(packed(samples(seconds, seed=track)), *before))
    return path


def wanted(*tracks: int, seconds: float = SECONDS, **other: object) -> Expectation:
    """What is expected of files of so many seconds of the tracks, all of them in use."""
    about: dict[str, object] = {
        "transfer": "LP-1", "tracks": mask_of(tracks), "in_use": mask_of(tracks),
        "track_names": {1: "kick", 2: "snare", 7: "vocal"}, "sample_rate_hz": RATE_HZ, "bit_depth": 24,
        "tape_us": int(seconds * 1_000_000), **other,
    }  # fmt: skip
    return Expectation(**about)  # type: ignore[arg-type]
