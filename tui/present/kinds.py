"""The kinds of fact one enters about a reel, each with the letter that chooses it, those entered daily first."""

from __future__ import annotations

from stock.core.kinds import BY_NAME, Kind

LETTERS = {
    "pass": "p",
    "splice": "s",
    "finding": "f",
    "take": "t",
    "decision": "d",
    "hold": "h",
    "hold-end": "e",
    "release": "r",
    "transfer": "x",
    "listen": "l",
    "move": "m",
    "zero-mark": "z",
    "edit": "c",
    "owner": "o",
    "length": "n",
    "set": "g",
    "response": "a",
    "stripe": "i",
    "copy": "y",
    "copy-file": "j",
    "copy-check": "k",
    "retirement": "w",
    "reservation": "v",
    "mark": "b",
}
"""The letter of each kind that is entered about a reel, in the order in which they are shown."""

BY_LETTER = {letter: name for name, letter in LETTERS.items()}

_LIKELY: dict[str, tuple[str, ...]] = {
    "pass": ("kind", "count", "start", "end", "tracks", "take", "speed", "machine"),
    "splice": ("at", "kind", "state", "speed"),
    "finding": ("kind", "severity", "start", "end", "tracks", "speed"),
    "take": ("title", "take", "start", "end", "tracks", "state", "keep", "project", "speed", "machine"),
    "decision": ("keep", "title", "take", "project"),
    "hold": ("reason", "hold", "until"),
    "release": ("granted_by", "project"),
    "transfer": ("sample_rate_hz", "bit_depth", "start", "end", "tracks", "transfer", "speed"),
    "copy": ("medium", "place", "copy", "folder"),
    "move": ("kind", "to"),
    "response": ("level_db", "frequency_hz", "track", "at", "speed", "machine", "tone"),
}
"""The fields of a form in the order in which they are most likely filled in; the others follow."""

_LAST = ("note", "date", "by", "reel")


def kinds_of_a_reel() -> list[Kind]:
    """The kinds of fact that are entered about a reel, those entered daily first."""
    return [BY_NAME[name] for name in LETTERS]


def kinds_found(typed: str) -> list[Kind]:
    """The kinds whose name begins with what was typed, then those one of whose words does."""
    wanted = " ".join(typed.replace("-", " ").split()).casefold()
    first, second = [], []
    for kind in kinds_of_a_reel():
        name = kind.name.replace("-", " ")
        if name.startswith(wanted):
            first.append(kind)
        elif any(word.startswith(wanted) for word in f"{name} {kind.help}".casefold().split()):
            second.append(kind)
    return [*first, *second]


def field_order(kind: Kind) -> list[str]:
    """A kind's fields in the order of its form: what is likely typed first, what fills itself in last."""
    likely = _LIKELY.get(kind.name, ())
    middle = [field.name for field in kind.fields if field.name not in (*likely, *_LAST)]
    last = [name for name in _LAST if any(field.name == name for field in kind.fields)]
    return [*likely, *middle, *last]
