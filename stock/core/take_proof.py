"""What proves each take on a reel, what is missing, and the one action that would help most."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from stock.core.house import House
from stock.core.moments import date_of
from stock.core.proof import Fault, Proof, cooling_days, copies_of, prove, shortfalls
from stock.core.record import Copy, Take, Transfer
from stock.core.tracks import say
from stock.core.verdict import Advice
from stock.core.weighing import Claim
from stock.core.words import stretch

State = Literal["proved", "given up", "unproved"]
ActionCode = Literal["transfer", "read", "listen", "copy", "wait"]


class CopyState(NamedTuple):
    """A copy. read_day: the day of its newest real read, None for never. fault: None where it is good."""

    copy: Copy
    read_day: int | None
    fault: Fault | None


class TransferState(NamedTuple):
    """A transfer made after the recording that touches the take, and its copies."""

    transfer: Transfer
    proof: Proof
    copies: tuple[CopyState, ...]


class Action(NamedTuple):
    """What would help. transfer, copy: what it is done to, where there is such. mends: the codes it takes away.

    gains: by how much it brings what is counted nearer, copies, media and places each for themselves; a listen is one.
    """

    code: ActionCode
    says: str
    transfer: str | None = None
    copy: str | None = None
    mends: tuple[str, ...] = ()
    gains: int = 0


class TakeProof(NamedTuple):
    """One take, or one name that a record pass gives.

    state: proved where transfers have all of it, given up where nothing is missing because of a decision. missing: what
    keeps it from being proved, code and sentence.
    """

    label: str
    take: Take | None
    state: State
    transfers: tuple[TransferState, ...]
    missing: tuple[tuple[str, str], ...]
    action: Action | None


def take_proofs(answer: Advice) -> list[TakeProof]:
    """The proof of every take that something of is live on a reel, in the order they lie on it."""
    claims = sorted(answer.recording.claims, key=lambda claim: (claim.live, claim.label))
    return [_take_proof(answer, claim) for claim in claims]


def _take_proof(answer: Advice, claim: Claim) -> TakeProof:
    house = answer.view.house
    days = cooling_days(house, claim.take.project if claim.take is not None else None)
    transfers = tuple(transfer_state(house, claim.helped[entry], days) for entry in sorted(claim.helped))
    if not claim.bare and not claim.waiting:
        state: State = "proved" if _is_covered(answer, claim, transfers) else "given up"
        return TakeProof(claim.label, claim.take, state, transfers, (), None)
    waiting = {transfer.entry for _, those in claim.waiting for transfer in those}
    missing = [*_bare_words(house, claim)]
    for each in transfers:
        if each.transfer.entry in waiting:
            missing += [(fault.code, fault.says) for fault in (*each.proof.faults, *each.proof.copies)]
    action = _transferring(claim) if claim.bare else _for_transfers(house, transfers, waiting, days)
    return TakeProof(claim.label, claim.take, "unproved", transfers, tuple(missing), action)


def _is_covered(answer: Advice, claim: Claim, transfers: tuple[TransferState, ...]) -> bool:
    """Whether proved transfers made after the take's newest recording have all of it, whatever was decided."""
    loosens = answer.view.house.calendar.loosens
    proved = {
        each.transfer.entry
        for each in transfers
        if each.proof.proved and loosens(each.transfer.day, each.transfer.at_us) > claim.newest
    }
    spans = [(lo, hi, row.tracks) for lo, hi, row in answer.view.spans("transfers") if row.entry in proved]
    for lo, hi, mask in claim.live:
        for a, b, tracks in spans:
            mask &= ~tracks if a <= lo and hi <= b else mask
        if mask:
            return False
    return True


def transfer_state(house: House, transfer: Transfer, days: int) -> TransferState:
    """A transfer with its proof for one cooling-off time, and its copies."""
    reads: dict[str, int] = {}
    for check in house.keyed("copy_checks", transfer.transfer):
        day = house.calendar.local_day(check.day, check.at_us)
        if check.method == "read" and day is not None:
            reads[check.copy] = max(reads.get(check.copy, day), day)
    copies = tuple(CopyState(copy, reads.get(copy.copy), fault) for copy, fault in copies_of(house, transfer))
    return TransferState(transfer, prove(house, transfer, days), copies)


def _bare_words(house: House, claim: Claim) -> Iterator[tuple[str, str]]:
    if not claim.bare:
        return
    if not claim.helped:
        yield "not-transferred", "never transferred since it was recorded"
        return
    lo, hi = min(cell[0] for cell in claim.bare), max(cell[1] for cell in claim.bare)
    mask = 0
    for cell in claim.bare:
        mask |= cell[2]
    where = stretch(lo, hi, house.rules.number("usual_speed"))
    code = "tracks-missing" if not mask & claim.reached else "partly-transferred"
    yield code, f"no transfer made since has {where} on {say(mask)}"


def _transferring(claim: Claim) -> Action:
    """Only a transfer helps what no transfer covers; whatever else is missing comes after it."""
    what = f"what is missing of {claim.label}" if claim.helped else claim.label
    return Action("transfer", f"transfer {what}")


def _for_transfers(house: House, transfers: tuple[TransferState, ...], waiting: set[int], days: int) -> Action | None:
    """The action on the waiting transfer that it brings nearest to being proved; the newest where all are equal."""
    best: tuple[tuple[bool, int, int], Action] | None = None
    for each in transfers:
        if each.transfer.entry in waiting:
            action = _best(house, each, days)
            rank = action.code == "transfer", _lacks(house, each) - action.gains, -each.transfer.entry
            if best is None or rank < best[0]:
                best = rank, action
    return best[1] if best is not None else None


def good_copies(state: TransferState) -> list[Copy]:
    """The copies that count."""
    return [each.copy for each in state.copies if each.fault is None]


def _lacks(house: House, state: TransferState) -> int:
    """How much a transfer lacks, counted as an action's gains are."""
    counted = sum(short.needed - short.have for short in shortfalls(house, good_copies(state)))
    return counted + sum(fault.code == "not-heard" for fault in state.proof.faults)


def _best(house: House, state: TransferState, days: int) -> Action:
    """The action that brings a transfer nearest; of equals the one that is least work."""
    name = state.transfer.transfer
    codes = {fault.code for fault in state.proof.faults}
    if "format-too-low" in codes:
        return Action("transfer", f"transfer again what is in {name}, at the house's format", name)
    offered = list(offers(house, state, codes))
    best = max(offered, key=lambda action: action.gains, default=None)
    return best if best is not None and best.gains else _waiting(house, state.transfer, days)


def offers(house: House, state: TransferState, codes: set[str]) -> Iterator[Action]:
    """Actions on a transfer and its copies, least work first; some of them may gain nothing."""
    name = state.transfer.transfer
    bad = [(each.copy, each.fault.code) for each in state.copies if each.fault is not None]
    for copy, code in bad:
        if code != "copy-check-failed":
            says = f"read copy {copy.copy} of {name} on {copy.medium} through"
            yield _with(house, state, copy, Action("read", says, name, copy.copy))
    if "not-heard" in codes:
        says = f"listen to {name} at head, middle and end of every track, and enter it"
        yield Action("listen", says, name, mends=("not-heard",), gains=1)
    for copy, code in bad:
        if code == "copy-check-failed":
            says = f"make copy {copy.copy} of {name} on {copy.medium} again, and prove it"
            yield _with(house, state, copy, Action("copy", says, name, copy.copy))
    where = (" on another medium" if "one-medium" in codes else "") + (
        " elsewhere" if "none-elsewhere" in codes else ""
    )
    # no medium that anybody can enter is called so
    another = Copy(0, name, "", "\0", "elsewhere", None, None)
    yield _with(house, state, another, Action("copy", f"make another copy of {name}{where}, and prove it", name))


def _with(house: House, state: TransferState, copy: Copy, action: Action) -> Action:
    """An action that makes a copy good, with what that brings."""
    before = {short.code: short.needed - short.have for short in shortfalls(house, good_copies(state))}
    after = {short.code: short.needed - short.have for short in shortfalls(house, [*good_copies(state), copy])}
    mends = tuple(code for code in before if code not in after)
    return action._replace(mends=mends, gains=sum(before.values()) - sum(after.values()))


def _waiting(house: House, transfer: Transfer, days: int) -> Action:
    made = house.calendar.local_day(transfer.day, transfer.at_us)
    until = f" until {date_of(made + days).isoformat()}" if made is not None else ""
    says = f"wait{until}: a transfer is to be {days} days old"
    return Action("wait", says, transfer.transfer, mends=("cooling-off",))
