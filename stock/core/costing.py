"""What tape costs: the worn share of each reel charged to the projects that wore it, what is left, what is written off.

A reel's life is so many passes over all its length; a pass over a part of it wears that part of a pass. Each reel's
price is divided to the minor unit: what projects wore, what a project keeps, what is written off, what it is still
worth. The parts always add up to the price.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

End = Literal["", "retired", "lost"]


class Priced(NamedTuple):
    """A reel of the house with a price. price: minor units. length: tenths of a millimetre. new: it came sealed.

    keeper: the project whose tape it is to stay, None where it goes on in use. end, end_day: how and when it was lost
    to use.
    """

    reel: str
    stock_item: str
    price: int
    currency: str
    acquired: int | None
    supplier: str | None
    length: int
    new: bool
    keeper: str | None
    end: End
    end_day: int | None


class Share(NamedTuple):
    """A part of a reel's price. what: worn, kept, written off or left. project: whose, None for nobody's."""

    reel: str
    what: Literal["worn", "kept", "written off", "left"]
    project: str | None
    amount: int


def divide(reel: Priced, work: Mapping[str | None, int], life_passes: int) -> list[Share]:
    """A reel's price divided. work: tenths of a pass times tenths of a millimetre, by project (None: nobody's).

    More wear than a whole life takes the whole price, and no more.
    """
    whole = reel.length * life_passes * 10
    done = sum(work.values())
    worn = 0
    if done and whole:
        worn = min(reel.price, (reel.price * min(done, whole) * 2 + whole) // (2 * whole))
    shares = [Share(reel.reel, "worn", project, amount) for project, amount in _parted(worn, work)]
    left = reel.price - worn
    if reel.keeper is not None:
        shares.append(Share(reel.reel, "kept", reel.keeper, left))
    elif reel.end:
        shares.append(Share(reel.reel, "written off", None, left))
    else:
        shares.append(Share(reel.reel, "left", None, left))
    return shares


def _parted(amount: int, work: Mapping[str | None, int]) -> list[tuple[str | None, int]]:
    """An amount divided as the work is, to the unit: the largest remainders get what is left over."""
    whole = sum(work.values())
    if not whole:
        return []
    rows = sorted(work.items(), key=lambda pair: (pair[0] is None, pair[0] or ""))
    parts = [amount * done // whole for _, done in rows]
    order = sorted(range(len(rows)), key=lambda at: (-(amount * rows[at][1] % whole), at))
    for at in order[: amount - sum(parts)]:
        parts[at] += 1
    return [(project, part) for (project, _), part in zip(rows, parts, strict=True)]


class ItemValue(NamedTuple):
    """The reels of one stock item in use: how many, what they cost, what they are still worth, minor units."""

    stock_item: str
    currency: str
    reels: int
    cost: int
    value: int


class Charge(NamedTuple):
    """What one project costs in tape. reels: that it wore or keeps."""

    project: str | None
    currency: str
    reels: int
    worn: int
    kept: int

    @property
    def amount(self) -> int:
        return self.worn + self.kept


class WriteOff(NamedTuple):
    """A reel lost to use before its life was over."""

    reel: str
    end: End
    day: int | None
    currency: str
    cost: int
    amount: int


class Bought(NamedTuple):
    """Reels bought alike. since: thousandths by which the price differs from that paid for the item before, new or used
    alike; None where there is none before."""

    day: int | None
    supplier: str | None
    stock_item: str
    currency: str
    new: bool
    reels: int
    price: int
    since: int | None


def values(reels: Iterable[Priced], shares: Iterable[Share]) -> list[ItemValue]:
    """What the shelf is worth, by stock item and currency."""
    left = {share.reel: share.amount for share in shares if share.what == "left"}
    found: dict[tuple[str, str], ItemValue] = {}
    for reel in reels:
        if reel.reel in left:
            key = reel.currency, reel.stock_item
            held = found.get(key, ItemValue(reel.stock_item, reel.currency, 0, 0, 0))
            found[key] = held._replace(
                reels=held.reels + 1, cost=held.cost + reel.price, value=held.value + left[reel.reel]
            )
    return [found[key] for key in sorted(found)]


def charges(reels: Sequence[Priced], shares: Iterable[Share]) -> list[Charge]:
    """What each project costs in tape, by currency; wear that belongs to no project comes last."""
    currency = {reel.reel: reel.currency for reel in reels}
    sums: dict[tuple[str, bool, str], list[int]] = {}
    touched: dict[tuple[str, bool, str], set[str]] = {}
    for share in shares:
        if share.what in ("worn", "kept"):
            key = currency[share.reel], share.project is None, share.project or ""
            row = sums.setdefault(key, [0, 0])
            row[share.what == "kept"] += share.amount
            touched.setdefault(key, set()).add(share.reel)
    return [
        Charge(None if key[1] else key[2], key[0], len(touched[key]), worn, kept)
        for key, (worn, kept) in sorted(sums.items())
    ]


def write_offs(reels: Iterable[Priced], shares: Iterable[Share]) -> list[WriteOff]:
    """The reels written off, oldest first."""
    amounts = {share.reel: share.amount for share in shares if share.what == "written off"}
    found = [
        WriteOff(reel.reel, reel.end, reel.end_day, reel.currency, reel.price, amounts[reel.reel])
        for reel in reels
        if reel.reel in amounts
    ]
    return sorted(found, key=lambda row: (-1 if row.day is None else row.day, row.reel))


def prices_paid(reels: Iterable[Priced]) -> list[Bought]:
    """What was paid over time: reels that came alike on one day, with the change since that item was bought before."""
    counts: dict[tuple[int, str, str, bool, str, int], int] = {}
    for reel in reels:
        day = -1 if reel.acquired is None else reel.acquired
        key = day, reel.stock_item, reel.currency, reel.new, reel.supplier or "", reel.price
        counts[key] = counts.get(key, 0) + 1
    before: dict[tuple[str, str, bool], int] = {}
    found = []
    for (day, item, currency, new, supplier, price), count in sorted(counts.items()):
        last = before.get((item, currency, new))
        since = (price - last) * 1000 // last if last and price else None
        found.append(Bought(None if day < 0 else day, supplier or None, item, currency, new, count, price, since))
        if price:
            before[item, currency, new] = price
    return found
