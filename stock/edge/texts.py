"""Words as people type them: names, notes, choices, hashes, track lists. What is typed is kept as it is."""

from __future__ import annotations

import re

from stock.core.tracks import MOST_TRACKS, mask_of, numbers, spell
from stock.edge.problems import CellError, shown

LONGEST_NAME = 200
LONGEST_TEXT = 4_000
BLANKS = " \t\r\n\u00a0"
"""What is taken off both ends of a cell."""

_FORBIDDEN = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
_FORBIDDEN_IN_TEXT = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
_SHA256 = re.compile(r"[0-9A-Fa-f]{64}")
_TRACK_ITEM = re.compile(r"([0-9]+(?:-[0-9]+)?(?: *, *[0-9]+(?:-[0-9]+)?)*)(?: +([^ ].*))?")
_WANTS_TRACKS = (f"a list of track numbers from 1 to {MOST_TRACKS}", "`1-8,13` or `1 kick; 2 snare`")


def name(text: str) -> str:
    """A name or a person: one line."""
    return _words(text, _FORBIDDEN, LONGEST_NAME, "a name")


def note(text: str) -> str:
    """Free words, of several lines if need be."""
    return _words(text, _FORBIDDEN_IN_TEXT, LONGEST_TEXT, "a text")


def _words(text: str, forbidden: re.Pattern[str], longest: int, what: str) -> str:
    if len(text) > longest:
        raise CellError.of(text, f"has {len(text)} characters", f"{what} of at most {longest}")
    found = forbidden.search(text)
    if found is not None:
        point, at = ord(found[0]), found.start() + 1
        kind = "half a character" if 0xD800 <= point <= 0xDFFF else "a control character"
        raise CellError.of(text, f"has {kind}, U+{point:04X}, at place {at}", f"{what} of visible characters")
    return text


def choice(text: str, choices: tuple[str, ...]) -> str:
    """One of the choices, whatever its case and blanks."""
    folded = " ".join(text.split()).casefold()
    if folded not in choices:
        listed = ", ".join(choices)
        raise CellError.of(text, "is not one of the choices", f"one of {listed}")
    return folded


def sha256(text: str) -> str:
    """A SHA-256 hash, in small letters."""
    if not _SHA256.fullmatch(text):
        raise CellError.of(text, "is not a SHA-256 hash", "a row of 64 hexadecimal digits")
    return text.lower()


def tracks(text: str) -> tuple[int, str | None]:
    """A track list as a mask and the names given to tracks (`1 kick; 2 snare`), None where there are none.

    A name behind several tracks is given to each of them.
    """
    _words(text, _FORBIDDEN, LONGEST_TEXT, "a list of tracks")
    named: dict[int, str | None] = {}
    for item in text.split(";"):
        found = _TRACK_ITEM.fullmatch(item.strip(BLANKS))
        if found is None:
            raise CellError.of(text, "is not a list of tracks", *_WANTS_TRACKS)
        for track in _numbered(text, found[1]):
            if track in named:
                raise CellError.of(text, f"has track {track} twice", *_WANTS_TRACKS)
            named[track] = found[2]
    names = "; ".join(f"{track} {words}" for track, words in sorted(named.items()) if words)
    if len(names) > LONGEST_TEXT:
        raise CellError.of(text, "makes too long a list of names", *_WANTS_TRACKS)
    return mask_of(named), names or None


def _numbered(text: str, listed: str) -> list[int]:
    """The track numbers of `1-8,13`."""
    found: list[int] = []
    for run in listed.split(","):
        first, _, last = run.strip(" ").partition("-")
        ends = [int(end) if len(end) <= 4 else MOST_TRACKS + 1 for end in (first, last or first)]
        for end in ends:
            if not 1 <= end <= MOST_TRACKS:
                raise CellError.of(text, "has a track that cannot be", *_WANTS_TRACKS)
        if ends[0] > ends[1]:
            raise CellError.of(text, f"has {shown(run)} the wrong way round", *_WANTS_TRACKS)
        found.extend(range(ends[0], ends[1] + 1))
    return found


def spell_tracks(mask: int, names: str | None) -> str:
    """A mask and the names of tracks as `tracks` reads them: `1 kick; 2 snare; 5-8`."""
    if not names:
        return spell(mask)
    items: list[tuple[int, str]] = []
    bare = mask
    for item in names.split("; "):
        track = int(item.split(" ", 1)[0])
        items.append((track, item))
        bare &= ~mask_of((track,))
    while bare:
        first = next(numbers(bare))
        run = _run_up_to(bare, min((track for track, _ in items if track > first), default=MOST_TRACKS + 1))
        items.append((first, spell(run)))
        bare &= ~run
    return "; ".join(item for _, item in sorted(items))


def _run_up_to(mask: int, track: int) -> int:
    """The tracks of a mask below a track."""
    return mask & (mask_of((track,)) - 1)
