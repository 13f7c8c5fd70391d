"""Proof of a copy beside hashlib's SHA-256 of the same files on one thread, and its memory; run by hand.

    python -m tests.bench.bench_proof            a set of 8 mono files, one file of 16 channels, FLAC aside
    python -m tests.bench.bench_proof --long     one file of 2 GB, against the memory a short one takes

Files are made in the temporary folder (TMPDIR) and read from the page cache, so that the disk is no part of it.
"""

from __future__ import annotations

import argparse
import hashlib
import resource
import struct
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from stock.core.tracks import every
from stock.proof.examine import examine
from stock.proof.expectation import Expectation

RATE_HZ = 96_000
RUNS = 5


def write(path: Path, seconds: int, channels: int) -> None:
    """A 24-bit WAVE file of noise."""
    noise = np.random.default_rng(1).standard_normal((RATE_HZ, channels)) * 0.1
    second = (noise * 2**23).astype("<i4").view(np.uint8).reshape(-1, 4)[:, :3].tobytes()
    size = len(second) * seconds
    frame = 3 * channels
    with path.open("wb") as file:
        file.write(b"RIFF" + struct.pack("<I", size + 36) + b"WAVEfmt ")
        file.write(struct.pack("<IHHIIHH", 16, 1, channels, RATE_HZ, RATE_HZ * frame, frame, 24))
        file.write(b"data" + struct.pack("<I", size))
        for _ in range(seconds):
            file.write(second)


def hash_all(folder: Path) -> float:
    """Seconds hashlib takes for every file, on this thread."""
    began = time.perf_counter()
    chunk = bytearray(1 << 20)
    view = memoryview(chunk)
    for path in sorted(folder.iterdir()):
        value = hashlib.sha256()
        with path.open("rb", buffering=0) as file:
            while count := file.readinto(chunk):
                value.update(view[:count])
    return time.perf_counter() - began


def prove(folder: Path, seconds: int, tracks: int) -> float:
    """Seconds the proof takes."""
    wanted = Expectation("bench", every(tracks), every(tracks), {}, RATE_HZ, 24, seconds * 1_000_000)
    began = time.perf_counter()
    report = examine(folder, wanted)
    if not report.passed:
        raise SystemExit(f"the proof failed: {report.remarks[0].says}")
    return time.perf_counter() - began


def compare(name: str, files: int, seconds: int, channels: int) -> None:
    """Both, side by side, in turn; the best of each and the median ratio."""
    with tempfile.TemporaryDirectory() as folder:
        for number in range(1, files + 1):
            write(Path(folder) / f"{number:02d}.wav", seconds, channels)
        size = sum(path.stat().st_size for path in Path(folder).iterdir())
        pairs = [(hash_all(Path(folder)), prove(Path(folder), seconds, files * channels)) for _ in range(RUNS)]
    hashed, proved = (min(pair[side] for pair in pairs) for side in (0, 1))
    ratio = sorted(pair[1] / pair[0] for pair in pairs)[RUNS // 2]
    print(
        f"{name}: {size / 1e9:.2f} GB; hashlib {hashed:.2f} s ({size / hashed / 1e6:.0f} MB/s), "
        f"proof {proved:.2f} s ({size / proved / 1e6:.0f} MB/s); ratio {ratio:.2f} (goal: at most 1.6)"
    )


def peak(gigabytes: float) -> None:
    """Peak memory of a process that proves one file of that size."""
    seconds = max(int(gigabytes * 1e9 / (RATE_HZ * 3)), 1)
    with tempfile.TemporaryDirectory() as folder:
        write(Path(folder) / "01.wav", seconds, 1)
        took = prove(Path(folder), seconds, 1)
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"one file of {gigabytes:g} GB: {took:.2f} s, peak memory {used:.0f} MB")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--long", action="store_true")
    parser.add_argument("--peak", type=float, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.peak is not None:
        peak(asked.peak)
    elif asked.long:
        for size in ("0.02", "0.2", "2"):
            subprocess.run([sys.executable, "-m", "tests.bench.bench_proof", "--peak", size], check=True)
    else:
        compare("8 mono files", 8, 480, 1)
        compare("one file of 16 channels", 1, 240, 16)


if __name__ == "__main__":
    main()
