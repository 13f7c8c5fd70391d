"""Whose word a recording needs, and what else bars a wipe: holds, absence, role, unknown content, stray fields."""

from __future__ import annotations

from typing import Any

from stock.core.live import Atom
from stock.core.moments import EVER, date_of
from stock.core.reasons import Reason
from stock.core.record import Move
from stock.core.spans import Span, covers, intersect, subtract, total, union
from stock.core.view import View
from stock.core.words import feet, stretch

HOUSE = "house"
AWAY = {"out": "it is out", "lost": "it is lost", "returned": "it went back to whoever it belongs to"}


def is_house(owner: str | None) -> bool:
    """Whether an owner is the house itself; an empty owner is not."""
    return owner is not None and owner.strip().casefold() == HOUSE


def owners(view: View) -> list[tuple[int, int, str | None]]:
    """Who owns the tape along the reel: (lo, hi, owner), the newest owner of each piece."""
    house, calendar = view.house, view.house.calendar
    out: list[tuple[int, int, str | None]] = []
    for start, piece in view.pieces:
        shift = start - piece.lo
        came = house.reel(piece.tape).owner
        changes: list[tuple[int, bool, int, int, str]] = []
        for lo, hi, row in house.on_tape("owners", piece.tape):
            mine = is_house(row.owner)
            moment = (calendar.loosens if mine else calendar.binds)(row.day, row.at_us)
            changes.append((moment, not mine, max(lo, piece.lo), min(hi, piece.hi), row.owner))
        cuts = sorted({piece.lo, piece.hi, *(p for c in changes if c[2] < c[3] for p in c[2:4])})
        for lo, hi in zip(cuts, cuts[1:], strict=False):
            over = [change for change in changes if change[2] <= lo and hi <= change[3]]
            newest = max(over, key=lambda change: (change[0], change[1], change[4]))[4] if over else came
            out.append((lo + shift, hi + shift, newest))
    return out


def not_house(view: View) -> list[Span]:
    """The places of tape that is not the house's."""
    return union((lo, hi) for lo, hi, owner in owners(view) if not is_house(owner))


def needs_word(view: View, project_name: str | None) -> bool:
    """Whether a project's recordings need their client's word; one nobody entered does."""
    project = view.house.project(project_name)
    if project is None or project.release_needed == "yes":
        return True
    return (
        project.release_needed != "no"
        and bool(project.client and project.client.strip())
        and not is_house(project.client)
    )


def _projects(atom: Atom) -> set[str | None]:
    """The projects of the takes an atom is part of; a take known by name alone has none."""
    return {take.project for take in atom.owners} | ({None} if atom.named else set())


def about_word(view: View, atoms: list[Atom]) -> list[Reason]:
    """Where somebody's word is needed for what is live, and not there."""
    if not atoms:
        return []
    calendar = view.house.calendar
    foreign = not_house(view)
    releases: dict[int, tuple[Any, list[Span]]] = {}
    for lo, hi, row in view.spans("releases"):
        releases.setdefault(row.entry, (row, []))[1].append((lo, hi))
    by_project: dict[str | None, list[Atom]] = {}
    for atom in atoms:
        for project in _projects(atom):
            by_project.setdefault(project, []).append(atom)
    reasons: list[Reason] = []
    guarded = view.reel.role in ("master", "safety")
    for project, mine in sorted(by_project.items(), key=lambda pair: pair[0] or ""):
        cells = union((atom.lo, atom.hi) for atom in mine)
        if not (guarded or needs_word(view, project) or intersect(cells, foreign)):
            continue
        last = max(atom.moment for atom in mine)
        granted = union(
            span
            for row, spans in releases.values()
            if (not row.project or row.project == project) and calendar.loosens(row.day, row.at_us) > last
            for span in spans
        )
        missing = subtract(cells, granted)
        if missing:
            name = f"project {project}" if project else "takes of no project"
            whose = "the reel is a master or safety" if guarded else "somebody's word is needed"
            facts = {take.entry for atom in mine for take in atom.owners if take.project == project}
            reasons.append(
                Reason(
                    "no-release",
                    "recording",
                    "no",
                    f"{name}: {whose}, and no release was given since it was last recorded",
                    "ask whoever the recording belongs to, and enter the release",
                    missing[0][0],
                    missing[-1][1],
                    facts=tuple(sorted(facts)),
                )
            )
    bare: list[Span] = []
    for atom in atoms:
        if atom.in_a_take or not intersect([(atom.lo, atom.hi)], foreign):
            continue
        granted = union(
            span
            for row, spans in releases.values()
            if not row.project and calendar.loosens(row.day, row.at_us) > atom.moment
            for span in spans
        )
        bare += subtract(intersect([(atom.lo, atom.hi)], foreign), granted)
    if bare:
        bare = union(bare)
        reasons.append(
            Reason(
                "no-release",
                "recording",
                "no",
                "something is recorded here in no take, on tape that is not the house's, and its owner gave no release "
                "of the whole reel since",
                "ask the owner, and enter a release of the whole reel",
                bare[0][0],
                bare[-1][1],
            )
        )
    return reasons


def about_custody(view: View, wiped: list[tuple[int, int, int]]) -> list[Reason]:
    """Holds, absence, role, and what nobody has heard. wiped: last counting wipes along the reel."""
    reasons = [*_holds(view), *_absence(view)]
    if view.reel.role == "reference":
        reasons.append(
            Reason(
                "reference-tape",
                "recording",
                "no",
                "it is a reference tape: it is never wiped",
                facts=(view.reel.entry,),
            )
        )
    listened = view.listened()
    heard = view.on_all_tracks(part[:3] for part in listened)
    unknown: list[Span] = []
    known = union([*((lo, hi) for lo, hi, moment in wiped if moment > EVER), *heard])
    for start, piece in view.pieces:
        if view.house.reel(piece.tape).arrived_as != "sealed":
            unknown += subtract([(start, start + piece.hi - piece.lo)], known)
    if unknown:
        unknown = union(unknown)
        reasons.append(
            Reason(
                "content-unknown",
                "recording",
                "doubt",
                f"it did not come sealed, and {feet(total(unknown))} of it was neither wiped here nor listened to",
                "listen to it from end to end and enter what you find",
                unknown[0][0],
                unknown[-1][1],
                facts=(view.reel.entry,),
            )
        )
    reasons.extend(_stray_fields(view, listened))
    return reasons


def _holds(view: View) -> list[Reason]:
    house, calendar = view.house, view.house.calendar
    seen: set[int] = set()
    reasons = []
    for lo, hi, row in view.spans("holds"):
        if row.entry in seen or (row.until is not None and house.as_of.day > row.until):
            continue
        begun = calendar.binds(row.day, row.at_us)
        if any(calendar.loosens(end.day, end.at_us) > begun for end in house.keyed("hold_ends", row.hold)):
            continue
        seen.add(row.entry)
        until = f" until {date_of(row.until).isoformat()}" if row.until is not None else ""
        reasons.append(
            Reason(
                "on-hold",
                "recording",
                "no",
                f"{row.by or 'somebody not named'} holds it{until}: {row.reason}",
                f"have the hold {row.hold} ended by whoever made it",
                lo,
                hi,
                facts=(row.entry,),
            )
        )
    return reasons


def away(view: View) -> Move | None:
    """The move by which a reel is away now, None for one that is here."""
    calendar = view.house.calendar
    moves = [
        (
            (calendar.binds if row.kind in AWAY else calendar.loosens)(row.day, row.at_us),
            row.kind in AWAY,
            row.entry,
            row,
        )
        for row in view.house.keyed("moves", view.reel.reel)
    ]
    if not moves:
        return None
    row: Move = max(moves)[3]
    return row if row.kind in AWAY else None


def _absence(view: View) -> list[Reason]:
    row = away(view)
    if row is None:
        return []
    where = f" ({row.to})" if row.to else ""
    return [
        Reason(
            "not-here",
            "recording",
            "no",
            f"{AWAY[row.kind]}{where}",
            "enter its return when it is back on the shelf",
            facts=(row.entry,),
        )
    ]


def _stray_fields(view: View, listened: list[tuple[int, int, int, int]]) -> list[Reason]:
    calendar = view.house.calendar
    reasons = []
    for lo, hi, row in view.spans("findings"):
        if row.kind != "stray-field":
            continue
        exposed = calendar.binds(row.day, row.at_us)
        since = view.on_all_tracks(
            ((a, b, mask) for a, b, mask, moment in listened if moment > exposed),
            view.house.mask_of(row.reel, row.tracks),
        )
        if not covers(since, lo, hi):
            reasons.append(
                Reason(
                    "stray-field",
                    "recording",
                    "doubt",
                    f"it lay in a magnetic field ({stretch(lo, hi, view.house.rules.number('usual_speed'))}) and was "
                    "not listened to since",
                    "listen to it and enter what you find",
                    lo,
                    hi,
                    facts=(row.entry,),
                )
            )
    return reasons
