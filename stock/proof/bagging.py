"""Makes a folder a bag, as a process of its own: the library changes the working folder of the whole process.

Reads `{"folder", "info", "algorithms"}` as JSON from standard input. Run by `stock.proof.bag` alone.
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path


def main() -> None:
    """Move the folder's content into its payload, and write manifests and tag files that are on the disk at the end."""
    import bagit  # type: ignore[import-untyped]

    asked = json.load(sys.stdin)
    folder = Path(asked["folder"])
    bagit.make_bag(str(folder), asked["info"], processes=1, checksums=asked["algorithms"])
    # The library writes the version before the RFC's; one line differs, and with it the tag manifests.
    (folder / "bagit.txt").write_text("BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n", encoding="utf-8")
    bagit.Bag(str(folder)).save()
    for path in [*folder.glob("*.txt"), folder / "data", folder]:
        handle = os.open(path, os.O_RDONLY)
        os.fsync(handle)
        os.close(handle)


if __name__ == "__main__":
    main()
