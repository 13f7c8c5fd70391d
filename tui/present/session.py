"""What the session log shows: the tape left, the reel's tape as a bar, what still fits, the takes so far."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from rich.cells import cell_len

from stock.core.measure import SECOND, time_of
from stock.core.session import (
    Bound,
    Outlook,
    beside_timecode,
    bound,
    left_us,
    outlook,
    outlook_words,
    place_of,
    planned_end,
)
from stock.core.tracks import say, spell
from stock.core.words import clock, speed_words
from stock.edge.visible import safe
from tui.present.row import Piece, fitted

if TYPE_CHECKING:
    from stock.desk.session.loaded import Loaded, Logged
    from stock.desk.session.next_reel import NextReel

FREE, LIVE, OTHER, RUNS, UNUSED, HERE = "\u2500", "\u2588", "\u2592", "\u2593", "\u00b7", "\u25bc"
LOW_US = 60 * SECOND
"""With less tape left than this the clock changes its colour."""


class Now(NamedTuple):
    """How the tape stands at this moment. low: whether little is left; out: whether by the clock it has run out."""

    place: int
    left_us: int
    bound: Bound
    outlooks: tuple[Outlook, ...]
    low: bool
    out: bool


def now_of(loaded: Loaded, typed: int | None, planned: Sequence[int], now_us: int) -> Now:
    """The tape at a moment. typed: where somebody said it stands, while nothing runs. planned: takes to come; while one
    runs, the first of them is that one."""
    on, running = loaded.on, loaded.running
    if running is None:
        place = loaded.stands if typed is None else typed
        found = outlook(on, place, planned, after_a_take=loaded.after_a_take and typed is None)
    else:
        place = place_of(running, on, now_us)
        end = planned_end(running, on, now_us, planned[0] if planned else None)
        found = outlook(on, end, planned[1:], after_a_take=True)
    left = left_us(on, place)
    return Now(place, left, bound(on, place), tuple(found), left < LOW_US, place >= on.length)


def head_pieces(loaded: Loaded) -> list[Piece]:
    """The reel, whom it is recorded for, at what speed, on which tracks and machine."""
    on, carried = loaded.on, loaded.carried
    running = loaded.running
    project = (running.project or "") if running is not None else carried.project
    machine = (running.machine or "") if running is not None else carried.machine
    parts = [project or "no project", speed_words(on.speed), say(on.mask)]
    parts += [machine] if machine else []
    words = " \u00b7 ".join(map(safe, parts))
    return [Piece(safe(on.reel), "reel"), Piece(f"  {words}")]


def state_pieces(loaded: Loaded, now: Now, title: str, now_us: int) -> list[Piece]:
    """What runs, or what the next take will be called. title: one said for it, empty where it goes on as it was."""
    running = loaded.running
    if running is None:
        carried = loaded.carried
        label = title or f"{carried.title}/{carried.take}"
        return [Piece("\u25cb stopped", "quiet"), Piece("   next is ", "quiet"), Piece(safe(label), "reel")]
    so_far = clock(max(now_us - running.started_us, 0))
    start = loaded.on.clock_at(running.start)
    pieces = [Piece("\u25cf recording ", "error"), Piece(safe(running.label), "reel")]
    if now.out:
        return [*pieces, Piece("   by the clock its tape has run out: c, and type where it ended", "error")]
    if not now.left_us:
        past = f"over {now.bound.label}" if now.bound.what == "recording" else f"past {now.bound.label}"
        return [*pieces, Piece(f"   {safe(past)}", "error")]
    return [*pieces, Piece(f"   from {start}, {so_far} so far", "quiet")]


def counter_words(loaded: Loaded, now: Now) -> str:
    """What the second clock says, and the timecode there where the reel has one."""
    code = loaded.on.code_at(now.place)
    return f"{code}  counter" if code else "counter"


def bar_pieces(loaded: Loaded, now: Now, width: int) -> list[list[Piece]]:
    """The reel from head to tail in two lines: where the tape is, and what lies on it for the tracks in use."""
    on = loaded.on
    if on.length <= 0 or width <= 0:
        return [[], []]

    def cell(place: int) -> int:
        return min(place * width // on.length, width - 1)

    signs: list[tuple[str, str]] = [(UNUSED, "quiet")] * width

    def paint(lo: int, hi: int, sign: str, tone: str) -> None:
        for at in range(cell(lo), max(cell(hi - 1), cell(lo)) + 1):
            signs[at] = sign, tone

    if on.usable[0] < on.usable[1]:
        paint(*on.usable, FREE, "tape-free")
    for kept in on.live:
        if not kept.mask & on.mask:
            paint(kept.lo, kept.hi, OTHER, "quiet")
    for kept in on.live:
        if kept.mask & on.mask:
            paint(kept.lo, kept.hi, LIVE, "tape-proved")
    if loaded.running is not None:
        paint(loaded.running.start, max(now.place, loaded.running.start + 1), RUNS, "error")
    marker = cell(now.place)
    above = [Piece(" " * marker), Piece(HERE, "accent")]
    bar: list[Piece] = []
    for sign, tone in signs:
        if bar and bar[-1].tone == tone:
            bar[-1] = Piece(bar[-1].text + sign, tone)
        else:
            bar.append(Piece(sign, tone))
    return [above, bar]


def legend_pieces(loaded: Loaded) -> list[Piece]:
    """What the signs of the bar say."""
    pieces = [Piece(LIVE, "tape-proved"), Piece(" recorded on these tracks  ", "quiet")]
    if loaded.running is not None:
        pieces += [Piece(RUNS, "error"), Piece(" this take  ", "quiet")]
    if any(not kept.mask & loaded.on.mask for kept in loaded.on.live):
        pieces += [Piece(f"{OTHER} on others  ", "quiet")]
    return [*pieces, Piece(FREE, "tape-free"), Piece(" free  ", "quiet"), Piece(f"{UNUSED} left unused", "quiet")]


def plan_pieces(now: Now, planned: Sequence[int], running: bool) -> list[Piece]:
    """Whether the takes to come still fit."""
    if not planned:
        return [Piece("no takes planned: p, and type 9:00 x3", "quiet")]
    parts: list[Piece] = []
    if running:
        parts.append(Piece(f"this one {clock(planned[0])}", "quiet"))
    fitting = [clock(each.take_us) for each in now.outlooks if each.fits]
    failing = [each for each in now.outlooks if not each.fits]
    if fitting:
        parts.append(Piece(f"{', '.join(fitting)} still fit{'s' if len(fitting) == 1 else ''}", "success"))
    if failing:
        parts.append(Piece(outlook_words(failing[0]), "error"))
    pieces: list[Piece] = []
    for part in parts:
        pieces += [Piece("  \u00b7  ", "quiet"), part] if pieces else [part]
    return pieces


def go_to_pieces(reels: Sequence[NextReel]) -> list[Piece]:
    """The reels to go to, best first; empty where none is asked for."""
    if not reels:
        return []
    first, *others = reels
    wipe = " (wipe it first)" if first.wipe else ""
    also = f", else {', '.join(safe(each.reel) for each in others)}" if others else ""
    return [Piece("\u2192 go to ", "quiet"), Piece(safe(first.reel), "reel"), Piece(f"{wipe}{also}", "quiet")]


def warning_pieces(loaded: Loaded) -> list[Piece]:
    """What is said as long as these tracks are in use."""
    beside = beside_timecode(loaded.on)
    if beside:
        code = spell(loaded.on.code_tracks)
        return [Piece(f"! {say(beside)} lies beside the timecode on {code}, best left empty", "warning")]
    return []


def sheet_pieces(loaded: Loaded) -> list[Piece]:
    """The track sheet that goes on from take to take, where tracks have names."""
    running = loaded.running
    text = running.tracks if running is not None else loaded.carried.tracks
    named = any(not part.replace("-", "").replace(",", "").isdigit() for part in text.split("; "))
    return [Piece(safe(text).replace("; ", " \u00b7 "), "quiet")] if text and named else []


_NAME_MOST = 48
"""Cells of a take's name at most, so that what belongs together stands together."""
_STATES = {"running": "still runs", "false-start": "false start"}


def take_pieces(loaded: Loaded, logged: Logged, width: int) -> list[Piece]:
    """One take: name, from where to where by the counter, how long, and how it stands."""
    on = loaded.on
    lasts = clock(time_of(logged.hi - logged.lo, on.speed.actual))
    state = _STATES.get(logged.state or "", logged.keep or "undecided")
    fixed = (
        f"{fitted(on.clock_at(logged.lo), 8, right=True)} to {fitted(on.clock_at(logged.hi), 8)}"
        f"{fitted(lasts, 9, right=True)}   {fitted(state, 12)}"
    )
    name = fitted(logged.label, min(max(width - cell_len(fixed) - 2, 8), _NAME_MOST))
    tone = "" if logged.today else "quiet"
    return [Piece(f"{name}  ", tone), Piece(fixed, "quiet" if logged.state == "false-start" else tone)]
