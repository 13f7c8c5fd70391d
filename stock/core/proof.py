"""Whether a transfer is proved: format, a listen, age, and good copies."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from stock.core.house import House
from stock.core.moments import EVER
from stock.core.record import Copy, CopyCheck, Transfer


class Fault(NamedTuple):
    """Why a transfer is not proved, or a copy not good. copy: the copy's name where it is about one."""

    code: str
    says: str
    remedy: str
    copy: str | None = None
    facts: tuple[int, ...] = ()


class Proof(NamedTuple):
    """A transfer's proof for one cooling-off time. faults: what keeps it from being proved. copies: bad copies."""

    proved: bool
    faults: tuple[Fault, ...]
    copies: tuple[Fault, ...]


def cooling_days(house: House, project_name: str | None) -> int:
    """Days a transfer must be old: the project's own, none if it records through into files, else the house's."""
    project = house.project(project_name)
    if project is not None and project.cool_days is not None:
        return project.cool_days
    if project is not None and project.mode == "through":
        return 0
    return house.rules.number("cooling_days")


def prove(house: House, transfer: Transfer, cool_days: int) -> Proof:
    """The proof of a transfer as of the house's moment."""
    key = ("proof", transfer.entry, cool_days)
    found: Proof | None = house.memo.get(key)
    if found is None:
        found = house.memo[key] = _prove(house, transfer, cool_days)
    return found


def _prove(house: House, transfer: Transfer, cool_days: int) -> Proof:
    rules, calendar = house.rules, house.calendar
    name = transfer.transfer
    made = calendar.loosens(transfer.day, transfer.at_us)
    faults: list[Fault] = []
    if transfer.sample_rate_hz < rules.number("minimum_rate_hz") or transfer.bit_depth < rules.number("minimum_bits"):
        faults.append(
            Fault(
                "format-too-low",
                f"transfer {name} is {transfer.sample_rate_hz} Hz, {transfer.bit_depth} bit; the house minimum is "
                f"{rules.number('minimum_rate_hz')} Hz and {rules.number('minimum_bits')} bit",
                "transfer it again at the house's format",
                facts=(transfer.entry,),
            )
        )
    heard = any(
        row.by and calendar.loosens(row.day, row.at_us) > made for row in house.keyed("listens", transfer.transfer)
    )
    if not heard:
        faults.append(
            Fault(
                "not-heard",
                f"nobody is named as having heard the files of transfer {name} since it was made",
                "listen at head, middle and end of every track, and enter the listen",
                facts=(transfer.entry,),
            )
        )
    local_day = calendar.local_day(transfer.day, transfer.at_us)
    age = house.as_of.day - local_day if local_day is not None else -1
    if age < cool_days:
        faults.append(
            Fault(
                "cooling-off",
                f"transfer {name} is {max(age, 0)} days old and must be {cool_days}",
                f"wait {cool_days - age} more days",
                facts=(transfer.entry,),
            )
        )
    copies = copies_of(house, transfer)
    faults.extend(_copy_faults(house, transfer, [copy for copy, fault in copies if fault is None]))
    return Proof(not faults, tuple(faults), tuple(fault for _, fault in copies if fault is not None))


class Shortfall(NamedTuple):
    """What good copies fall short of, for one code: how many there are of what is counted, and how many are needed."""

    code: str
    have: int
    needed: int


_COUNTED = {
    "too-few-copies": ("good copies", "make and check another copy"),
    "one-medium": ("media with a good copy", "copy it onto another medium"),
    "none-elsewhere": ("good copies elsewhere", "take a checked copy elsewhere"),
}


def shortfalls(house: House, good: Sequence[Copy]) -> list[Shortfall]:
    """What so many good copies of a transfer fall short of: how many, on how many media, how many elsewhere."""
    rules = house.rules
    media = {medium for copy in good if (medium := " ".join(copy.medium.split()).casefold())}
    counted = (
        Shortfall("too-few-copies", len(good), rules.number("copies_needed")),
        Shortfall("one-medium", len(media), rules.number("media_needed")),
        Shortfall("none-elsewhere", sum(copy.place == "elsewhere" for copy in good), rules.number("elsewhere_needed")),
    )
    return [each for each in counted if each.have < each.needed]


def _copy_faults(house: House, transfer: Transfer, good: Sequence[Copy]) -> list[Fault]:
    return [
        Fault(
            code,
            f"transfer {transfer.transfer} has {have} {_COUNTED[code][0]}, and {needed} are needed",
            _COUNTED[code][1],
            facts=(transfer.entry,),
        )
        for code, have, needed in shortfalls(house, good)
    ]


def copies_of(house: House, transfer: Transfer) -> list[tuple[Copy, Fault | None]]:
    """The copies of a transfer by name, the newest entry of each, and what is wrong with it; None for a good one."""
    made = house.calendar.loosens(transfer.day, transfer.at_us)
    checks: dict[str, list[CopyCheck]] = {}
    row: CopyCheck
    for row in house.keyed("copy_checks", transfer.transfer):
        checks.setdefault(row.copy, []).append(row)
    newest: dict[str, Copy] = {}
    copy: Copy
    for copy in sorted(house.keyed("copies", transfer.transfer)):
        newest[copy.copy] = copy
    return [
        (copy, _copy_fault(house, transfer, copy, made, checks.get(name, []))) for name, copy in sorted(newest.items())
    ]


def _copy_fault(house: House, transfer: Transfer, copy: Copy, made: int, checks: list[CopyCheck]) -> Fault | None:
    """What is wrong with a copy by its checks, or None.

    A pass that was only stated does not stand in the way of an earlier real read: otherwise taking a passed check away
    could turn a no into a yes.
    """
    calendar = house.calendar
    failed, failed_entry = EVER, 0
    passes: list[tuple[int, CopyCheck]] = []
    for check in checks:
        if check.result == "pass":
            moment = calendar.loosens(check.day, check.at_us)
            if moment >= made:
                passes.append((moment, check))
        else:
            moment = calendar.binds(check.day, check.at_us)
            if moment >= made and moment > failed:
                failed, failed_entry = moment, check.entry
    where = f"copy {copy.copy} of transfer {transfer.transfer} on {copy.medium}"
    since = [(moment, check) for moment, check in passes if moment > failed]
    if failed > EVER and not since:
        return Fault(
            "copy-check-failed", f"{where} failed its newest check", "make the copy again", copy.copy, (failed_entry,)
        )
    if not since:
        return Fault("copy-unchecked", f"{where} has never been checked", "check it", copy.copy, (copy.entry,))
    reads = [(moment, check) for moment, check in since if check.method == "read" and check.manifest_sha256]
    if not reads:
        return Fault(
            "copy-only-stated",
            f"{where} was only said to be good, never read through",
            "read it through and record the hash of its manifest",
            copy.copy,
            tuple(check.entry for _, check in since),
        )
    check = max(reads, key=lambda read: (read[0], read[1].entry))[1]
    local_day = calendar.local_day(check.day, check.at_us)
    age = house.as_of.day - local_day if local_day is not None else 1 << 30
    limit = house.rules.number("copy_check_days")
    if age > limit:
        return Fault(
            "copy-check-old",
            f"{where} was last read {age} days ago, and {limit} is the most",
            "read it through again",
            copy.copy,
            (check.entry,),
        )
    return None
