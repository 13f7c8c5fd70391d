"""The transfers that wait for proof: something live rests on them, and they are not proved yet."""

from __future__ import annotations

from typing import NamedTuple

from stock.core.house import House
from stock.core.proof import cooling_days, prove
from stock.core.take_proof import Action, TransferState, take_proofs
from stock.core.verdict import advise
from stock.desk.desk import Desk


class Waiting(NamedTuple):
    """A transfer that waits. takes: what of the reel rests on it. action: what would help most, for the first take."""

    transfer: str
    reel: str
    takes: tuple[str, ...]
    state: TransferState
    action: Action | None


def waiting(desk: Desk) -> list[Waiting]:
    """Every transfer that waits for proof, the oldest first."""
    house = desk.house()
    found: dict[tuple[int, str], Waiting] = {}
    for answer in advise(house, _reels_in_doubt(house)):
        for take in take_proofs(answer):
            if take.state != "unproved":
                continue
            for state in take.transfers:
                if state.proof.proved:
                    continue
                key = state.transfer.entry, answer.reel
                action = take.action if take.action and take.action.transfer == state.transfer.transfer else None
                held = found.get(key)
                if held is None:
                    found[key] = Waiting(state.transfer.transfer, answer.reel, (take.label,), state, action)
                else:
                    found[key] = held._replace(takes=(*held.takes, take.label), action=held.action or action)

    def order(each: Waiting) -> tuple[int, int, str]:
        transfer = each.state.transfer
        return house.calendar.loosens(transfer.day, transfer.at_us), transfer.entry, each.reel

    return sorted(found.values(), key=order)


def _reels_in_doubt(house: House) -> list[str]:
    """The reels with tape on them of a transfer that is not proved for some project."""
    asked = {cooling_days(house, None), *(cooling_days(house, row.project) for row in house.record.of("projects"))}
    tapes: set[str] = set()
    for row in house.record.of("transfers"):
        if row.entry in house.record.voided or all(prove(house, row, days).proved for days in asked):
            continue
        tapes |= {row.tape, *(piece.tape for piece in house.record.more.get(row.entry, ()))}
    return [reel for reel in house.reel_numbers if any(tape in tapes for tape, _, _ in house.layout(reel).pieces)]
