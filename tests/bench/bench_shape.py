"""How often the cause of a loss is named, and rightly, by its size at the top tone: run by hand, prints a table.

Falls are made by the formulas of `stock.core.losses` at 100 Hz, 1 kHz, 10 kHz and 15 kHz and 15 in/s, with noise.
"""

from __future__ import annotations

from random import Random

from stock.wear.shape import FALL_DB, shape_of
from tests.wear.made import CAUSES, TONES, made_falls

_SIZES = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0)


def named(size_db: float, noise_db: float, times: int, random: Random) -> dict[str, tuple[float, float]]:
    """For each true cause: the share of losses for which one is named, and of those the share named rightly."""
    told: dict[str, tuple[float, float]] = {}
    for cause in CAUSES:
        names = [shape_of(made_falls(cause, size_db, noise_db, random), 381_000).cause for _ in range(times)]
        some = [name for name in names if name != "cannot tell"]
        told[cause] = len(some) / times, some.count(cause) / len(some) if some else float("nan")
    return told


def main() -> None:
    random = Random(54)
    print(
        f"tones {', '.join(map(str, TONES))} Hz; noise of a fall; share named, and share of those named rightly, in %"
    )
    for noise_db in (0.2, FALL_DB):
        print(f"\nnoise {noise_db:.2f} dB   " + "".join(f"{cause:>16}" for cause in CAUSES))
        for size_db in _SIZES:
            told = named(size_db, noise_db, 1000, random)
            print(f"{size_db:4.1f} dB at top " + "".join(f"{100 * a:9.1f} {100 * b:6.1f}" for a, b in told.values()))


if __name__ == "__main__":
    main()
