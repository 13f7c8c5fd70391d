"""What to do, act by act, so that every take on a reel is proved.

What is transferred already is proved, not transferred again; of several transfers that would do, those that take the
fewest acts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from typing import Literal, NamedTuple

from stock.core.house import House
from stock.core.moments import date_of
from stock.core.proof import cooling_days, shortfalls
from stock.core.record import Copy, Transfer
from stock.core.take_proof import Action, CopyState, TransferState, good_copies, offers, transfer_state
from stock.core.to_do import few
from stock.core.verdict import Advice

ActCode = Literal[
    "specialist",
    "return",
    "end-hold",
    "release",
    "other-reel",
    "say-what",
    "listen-tape",
    "inspect",
    "transfer",
    "read",
    "copy",
    "copies",
    "hear",
    "wait",
]
_TRANSFERRED = ("not-transferred", "partly-transferred", "tracks-missing")
_COPIES = ("too-few-copies", "one-medium", "none-elsewhere")
_MANY = 12
"""Transfers, at most, of which all choices are looked at; of more, those are taken that still help, oldest first."""


class Act(NamedTuple):
    """One thing to do. codes: of the reasons it answers. transfer: what it is done to, None for one not made yet.

    copy: the copy's name, None for one not made yet. number: of copies to make, or of days to wait.
    """

    code: ActCode
    says: str
    codes: tuple[str, ...] = ()
    transfer: str | None = None
    copy: str | None = None
    number: int = 0


class _Need(NamedTuple):
    """Tracks that wait for a proof, and the transfers that hold some of them."""

    mask: int
    those: tuple[int, ...]


def proving_acts(advice: Advice) -> list[Act]:
    """What would prove every take that is kept on a reel."""
    house = advice.view.house
    days: dict[int, int] = {}
    transfers: dict[int, Transfer] = {}
    anew = [claim for claim in advice.recording.claims if claim.bare]
    for claim in advice.recording.claims:
        cool = cooling_days(house, claim.take.project if claim.take is not None else None)
        for _, those in claim.waiting:
            for transfer in those:
                transfers[transfer.entry] = transfer
                days[transfer.entry] = max(cool, days.get(transfer.entry, 0))
    states = {entry: transfer_state(house, transfers[entry], days[entry]) for entry in sorted(transfers)}
    acts = {
        entry: list(_acts_of(house, state, days[entry])) for entry, state in states.items() if _may_do(house, state)
    }
    needs: set[_Need] = set()
    poor: set[str] = set()
    for claim in advice.recording.claims:
        for (_, _, mask), those in claim.waiting:
            can = tuple(transfer.entry for transfer in those if transfer.entry in acts)
            if mask & ~_union(transfers, can):
                if claim not in anew:
                    anew.append(claim)
                poor.update(fault.code for each in those for fault in states[each.entry].proof.faults)
            else:
                needs.add(_Need(mask, can))
    chosen = _fewest(sorted(needs), transfers, acts)
    found = [act for entry in chosen for act in acts[entry]]
    if anew:
        cool = max(cooling_days(house, claim.take.project if claim.take is not None else None) for claim in anew)
        given = {reason.code for reason in advice.reasons if reason.severity != "note"}
        codes = (*(code for code in _TRANSFERRED if code in given), *sorted(poor & {"format-too-low", "cooling-off"}))
        labels = [f"what is missing of {claim.label}" if claim.helped else claim.label for claim in anew]
        found += _new_transfer(house, few(labels), codes, cool)
    return found


def _may_do(house: House, state: TransferState) -> bool:
    """Whether a transfer can still be proved: not one below the house's format, or of no day."""
    codes = {fault.code for fault in state.proof.faults}
    dated = house.calendar.local_day(state.transfer.day, state.transfer.at_us) is not None
    return "format-too-low" not in codes and (dated or "cooling-off" not in codes)


def _union(transfers: Mapping[int, Transfer], entries: Sequence[int]) -> int:
    mask = 0
    for entry in entries:
        mask |= transfers[entry].tracks
    return mask


def _fewest(
    needs: Sequence[_Need], transfers: Mapping[int, Transfer], acts: Mapping[int, Sequence[Act]]
) -> tuple[int, ...]:
    """The transfers that together have all that waits, with the fewest acts; of equals the soonest, then the oldest."""
    entries = sorted({entry for need in needs for entry in need.those})

    def does(some: Sequence[int]) -> bool:
        return all(not need.mask & ~_union(transfers, [e for e in need.those if e in some]) for need in needs)

    if len(entries) > _MANY:
        kept = tuple(entries)
        for entry in reversed(entries):
            fewer = tuple(each for each in kept if each != entry)
            kept = fewer if does(fewer) else kept
        return kept
    ranked = (
        (sum(len(acts[e]) for e in some), max((act.number for e in some for act in acts[e]), default=0), some)
        for size in range(len(entries) + 1)
        for some in combinations(entries, size)
        if does(some)
    )
    return min(ranked)[2]


def _acts_of(house: House, state: TransferState, days: int) -> Iterator[Act]:
    """What would prove one transfer: its copies, the listen, and time."""
    name = state.transfer.transfer
    codes = {fault.code for fault in state.proof.faults}
    yield from _copying(house, state)
    if "not-heard" in codes:
        says = f"listen to {name} at head, middle and end of every track, and enter it"
        yield Act("hear", says, ("not-heard",), name)
    made = house.calendar.local_day(state.transfer.day, state.transfer.at_us)
    if "cooling-off" in codes and made is not None:
        says = f"wait until {date_of(made + days).isoformat()}: {name} is to be {days} days old"
        yield Act("wait", says, ("cooling-off",), name, number=made + days - house.as_of.day)


def _copying(house: House, state: TransferState) -> Iterator[Act]:
    """The fewest copies to read or to make; each brings what is most wanted nearer, the least work first."""
    new = 0
    while short := shortfalls(house, good_copies(state)):
        codes = {each.code for each in short}
        most = max(each.needed - each.have for each in short)
        for action in offers(house, state, codes):
            after = _done(state, action, new)
            if action.code != "listen" and _most(house, after) < most:
                bad = {each.fault.code for each in state.copies if each.fault and each.copy.copy == action.copy}
                answers = (*(code for code in _COPIES if code in codes), *sorted(bad))
                new += action.copy is None
                yield Act(
                    "read" if action.code == "read" else "copy", action.says, answers, action.transfer, action.copy
                )
                state = after
                break


def _most(house: House, state: TransferState) -> int:
    return max((each.needed - each.have for each in shortfalls(house, good_copies(state))), default=0)


def _done(state: TransferState, action: Action, new: int) -> TransferState:
    """A transfer as it would be with a copy read or made, and found good."""
    if action.copy is None:
        # no medium that anybody can enter is called so
        copy = Copy(0, state.transfer.transfer, f"\0{new}", f"\0{new}", "elsewhere", None, None)
        return state._replace(copies=(*state.copies, CopyState(copy, None, None)))
    mended = (each._replace(fault=None) if each.copy.copy == action.copy else each for each in state.copies)
    return state._replace(copies=tuple(mended))


def _new_transfer(house: House, what: str, codes: tuple[str, ...], days: int) -> Iterator[Act]:
    """A transfer that is still to be made, with all that proves one."""
    yield Act("transfer", f"transfer {what}, at the house's format or better", codes)
    due = house.rules.number("copy_check_days")
    short = {each.code: each.needed for each in shortfalls(house, ())}
    count = max(short.values(), default=0)
    if count:
        where = f", on {short['one-medium']} media" if short.get("one-medium", 0) > 1 else ""
        where += f", {short['none-elsewhere']} of them elsewhere" if "none-elsewhere" in short else ""
        copies = "a copy" if count == 1 else f"{count} copies"
        yield Act("copies", f"make {copies} of it{where}, and read each through", number=count)
    yield Act("hear", "listen to its files at head, middle and end of every track, and enter it")
    if days > 0:
        again = "; its copies fall due meanwhile: read them through again then" if days > due else ""
        yield Act("wait", f"wait till it is {days} days old{again}", number=days)
