"""May the recording go? Judged per track and place, over the tape now on the reel."""

from __future__ import annotations

from dataclasses import dataclass

from stock.core import tracks as track_sets
from stock.core.custody import about_custody, about_word
from stock.core.live import Atom, Live, live
from stock.core.proof import Fault, Proof, cooling_days, prove
from stock.core.reasons import Reason, Severity
from stock.core.record import Transfer
from stock.core.spans import Span
from stock.core.view import View
from stock.core.weighing import Cell, Claim, Copied, Weighing
from stock.core.words import stretch


@dataclass
class RecordingAnswer:
    """The reasons about the recording (sets apart), and what was found live.

    free: live cells that may go; kept: live cells that may not.
    """

    reasons: list[Reason]
    live: Live
    claims: list[Claim]
    free: list[Cell]
    kept: list[Cell]

    @property
    def has_live_take(self) -> bool:
        return bool(self.claims)


def judge_recording(view: View) -> RecordingAnswer:
    """All reasons about the recording on one reel, but those that come from the reels of its set."""
    calendar = view.house.calendar
    reasons: list[Reason] = []
    wipes: list[tuple[int, int, int]] = []
    for lo, hi, wipe in view.spans("wipes"):
        if view.wipe_counts(wipe):
            wipes.append((lo, hi, calendar.loosens(wipe.day, wipe.at_us)))
        else:
            reasons.append(
                Reason(
                    "wipe-unproved",
                    "recording",
                    "note",
                    "a wipe loaded from a file, dated after this record began, has no certificate: it ends nothing",
                    "wipe the reel by the guarded steps",
                    lo,
                    hi,
                    facts=(wipe.entry,),
                )
            )
    transfers = [
        Copied(lo, hi, calendar.loosens(transfer.day, transfer.at_us), transfer)
        for lo, hi, transfer in view.spans("transfers")
    ]
    borders = [place for transfer in transfers for place in transfer[:2]]
    borders += [start for start, _ in view.pieces]
    found = live(view, wipes, borders)
    weighing = Weighing(view, transfers)
    for atom in found.atoms:
        weighing.weigh(atom)
    answer = RecordingAnswer(reasons, found, weighing.claims, weighing.free, weighing.kept)
    for claim in answer.claims:
        reasons.extend(_claim_reasons(view, claim))
    reasons.extend(_unlogged(view, weighing.loose, found.atoms))
    reasons.extend(_never_entered(view, found, transfers))
    reasons.extend(_overwritten(view, found, transfers))
    reasons.extend(about_word(view, found.atoms))
    reasons.extend(about_custody(view, found.wiped))
    return answer


def _claim_reasons(view: View, claim: Claim) -> list[Reason]:
    house = view.house
    reasons: list[Reason] = []
    if claim.bare and not claim.helped:
        lo, hi, mask = _hull(claim.bare)
        reasons.append(
            _reason(
                "not-transferred",
                f"{claim.label} has never been transferred since it was recorded",
                "transfer it, prove the transfer, then wipe",
                (lo, hi, mask),
                claim.facts,
            )
        )
    elif claim.bare:
        reasons.extend(_missing(view, claim))
    days = cooling_days(house, claim.take.project if claim.take is not None else None)
    waiting: dict[int, tuple[Transfer, list[Cell]]] = {}
    for cell, those in claim.waiting:
        for transfer in those:
            waiting.setdefault(transfer.entry, (transfer, []))[1].append(cell)
    for transfer, cells in waiting.values():
        reasons.extend(_fault_reasons(claim, prove(house, transfer, days), _hull(cells), "no"))
    for entry, transfer in claim.helped.items():
        if entry not in waiting:
            proof = prove(house, transfer, days)
            if proof.proved:
                reasons.extend(_fault_reasons(claim, proof, _hull(claim.live), "note"))
    return reasons


def _fault_reasons(claim: Claim, proof: Proof, cell: Cell, severity: Severity) -> list[Reason]:
    """The faults of a transfer and of its copies as reasons: no where a take is left unproved, else notes."""
    faults: list[Fault] = [*proof.faults, *proof.copies]
    lo, hi, mask = cell
    return [
        Reason(
            fault.code,
            "recording",
            severity,
            f"{claim.label}: {fault.says}",
            fault.remedy,
            lo,
            hi,
            mask,
            (*claim.facts, *fault.facts),
        )
        for fault in faults
    ]


def _missing(view: View, claim: Claim) -> list[Reason]:
    """The parts of a take that no transfer made after covers: whole tracks, or stretches of tracks."""
    bare_mask = 0
    for _, _, mask in claim.bare:
        bare_mask |= mask
    reasons: list[Reason] = []
    whole = bare_mask & ~claim.reached
    if whole:
        lo, hi, mask = _hull([(lo, hi, mask & whole) for lo, hi, mask in claim.bare if mask & whole])
        reasons.append(
            _reason(
                "tracks-missing",
                f"{claim.label}: no transfer made since has {track_sets.say(mask)}",
                "transfer those tracks too",
                (lo, hi, mask),
                claim.facts,
            )
        )
    partly = bare_mask & claim.reached
    if partly:
        lo, hi, mask = _hull([(lo, hi, mask & partly) for lo, hi, mask in claim.bare if mask & partly])
        where = stretch(lo, hi, view.house.rules.number("usual_speed"))
        reasons.append(
            _reason(
                "partly-transferred",
                f"{claim.label}: {where} on {track_sets.say(mask)} is newer than any transfer, or in none",
                "transfer that stretch",
                (lo, hi, mask),
                claim.facts,
            )
        )
    return reasons


def _reason(code: str, says: str, remedy: str, cell: Cell, facts: tuple[int, ...]) -> Reason:
    lo, hi, mask = cell
    return Reason(code, "recording", "no", says, remedy, lo, hi, mask, facts)


def _hull(cells: list[Cell]) -> Cell:
    mask = 0
    for cell in cells:
        mask |= cell[2]
    return min(cell[0] for cell in cells), max(cell[1] for cell in cells), mask


def _unlogged(view: View, loose: list[Atom], atoms: list[Atom]) -> list[Reason]:
    """Live recordings in no take; short strays beside a take need nothing of their own."""
    tolerance = view.house.rules.number("stray_s")
    left: dict[Span, int] = {}
    facts: set[int] = set()
    every_mask = 0
    for atom in loose:
        every_mask |= atom.mask
    for track in track_sets.numbers(every_mask):
        bit = 1 << (track - 1)
        ends = {place for atom in atoms if atom.in_a_take and atom.mask & bit for place in (atom.lo, atom.hi)}
        run: list[Atom] = []
        mine = sorted((atom for atom in loose if atom.mask & bit), key=lambda atom: atom.lo)
        for atom, after in zip(mine, [*mine[1:], None], strict=True):
            run.append(atom)
            if after is not None and after.lo == atom.hi:
                continue
            lo, hi = run[0].lo, run[-1].hi
            if not ((lo in ends or hi in ends) and _is_stray(run, tolerance)):
                left[lo, hi] = left.get((lo, hi), 0) | bit
                facts.update(r.pass_.entry for a in run for r in a.newest if r.pass_ is not None)
            run = []
    if not left:
        return []
    return [
        Reason(
            "unlogged-recording",
            "recording",
            "doubt",
            f"something was recorded at {stretch(lo, hi, view.house.rules.number('usual_speed'))} on track "
            f"{track_sets.spell(mask)} that belongs to no take",
            "enter the take it is, or listen and enter it as a take to discard",
            lo,
            hi,
            mask,
            tuple(sorted(facts)),
        )
        for (lo, hi), mask in sorted(left.items())
    ]


def _is_stray(run: list[Atom], tolerance_us: int) -> bool:
    speeds = [recording.speed for atom in run for recording in atom.newest]
    if any(speed is None for speed in speeds):
        return False
    slowest = min(speed for speed in speeds if speed is not None)
    return (run[-1].hi - run[0].lo) * 100_000_000 <= tolerance_us * slowest


def _never_entered(view: View, found: Live, transfers: list[Copied]) -> list[Reason]:
    """Transfers of what the record says is not there: a recording was never entered."""
    calendar = view.house.calendar
    stretches: dict[int, tuple[Transfer, list[Span]]] = {}
    for lo, hi, _, transfer in transfers:
        stretches.setdefault(transfer.entry, (transfer, []))[1].append((lo, hi))
    reasons = []
    for transfer, spans in stretches.values():
        if any(atom.lo < hi and lo < atom.hi for atom in found.atoms for lo, hi in spans):
            continue
        # as evidence of a recording it binds, so it counts to the end of its day
        made = calendar.binds(transfer.day, transfer.at_us)
        if any(lo < b and a < hi and made >= wiped for a, b, wiped in found.wiped for lo, hi in spans):
            lo, hi = min(span[0] for span in spans), max(span[1] for span in spans)
            reasons.append(
                Reason(
                    "unlogged-recording",
                    "recording",
                    "doubt",
                    f"transfer {transfer.transfer} was made of a stretch on which no recording is entered",
                    "enter what was recorded there, or void the transfer if it was another reel's",
                    lo,
                    hi,
                    transfer.tracks,
                    (transfer.entry,),
                )
            )
    return reasons


def _overwritten(view: View, found: Live, transfers: list[Copied]) -> list[Reason]:
    """Takes that a newer take lies over, and whether what went was proved."""
    house, calendar = view.house, view.house.calendar
    reasons = []
    for take, cells in found.overwritten.values():
        recorded = calendar.binds(take.day, take.at_us)
        days = cooling_days(house, take.project)
        lost = False
        for lo, hi, mask in cells:
            kept = 0
            for a, b, made, transfer in transfers:
                if a <= lo and hi <= b and made > recorded:
                    kept |= transfer.tracks if prove(house, transfer, days).proved else 0
            lost = lost or bool(mask & ~kept)
        lo, hi, mask = _hull(cells)
        ending = "; it is lost unproved" if lost else "; its files are proved"
        reasons.append(
            Reason(
                "overwritten",
                "recording",
                "note",
                f"take {take.title}/{take.take} was recorded over{ending}",
                "",
                lo,
                hi,
                mask,
                (take.entry,),
            )
        )
    return reasons
