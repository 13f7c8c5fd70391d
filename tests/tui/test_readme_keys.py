"""The README's table of keys is the table the screens obey, and its pictures are the snapshots of real screens."""

from __future__ import annotations

import os
import re
from pathlib import Path

from tui.keys import KEYS

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
_SPELLED = {
    "question_mark": "?",
    "slash": "/",
    "comma": ",",
    "full_stop": ".",
    "plus": "+",
    "equals_sign": "=",
    "minus": "-",
    "escape": "Esc",
    "enter": "Enter",
    "pageup": "PgUp",
    "pagedown": "PgDn",
}


def spelled(key: str) -> str:
    """A key as it is written for people: `shift+left` is Shift+Left."""
    if key in _SPELLED:
        return _SPELLED[key]
    return "+".join(part.capitalize() if len(part) > 1 else part for part in key.split("+"))


def keys_table() -> str:
    rows = ["| where | key | does |", "|---|---|---|"]
    for key in KEYS:
        typed = " ".join(f"`{spelled(each)}`" for each in key.key.split(","))
        rows.append(f"| {key.where} | {typed} | {key.words}: {key.tooltip[0].lower()}{key.tooltip[1:]} |")
    return "\n".join(rows)


def test_the_table_of_keys_is_the_one_the_screens_obey() -> None:
    text = README.read_text(encoding="utf-8")
    block = re.compile(r"(<!-- keys -->\n).*?(\n<!-- end of keys -->)", re.DOTALL)
    wanted = block.sub(lambda found: found[1] + keys_table() + found[2], text)
    if os.environ.get("REELWARD_UPDATE_SNAPSHOTS") == "1":
        README.write_text(wanted, encoding="utf-8")
    assert block.search(text)
    assert README.read_text(encoding="utf-8") == wanted


def test_the_pictures_are_snapshots_of_real_screens() -> None:
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README.read_text(encoding="utf-8"))
    assert len(pictures) >= 2
    for picture in pictures:
        assert picture.startswith("tests/tui/snapshots/")
        assert (ROOT / picture).is_file()
