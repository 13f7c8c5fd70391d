"""What an entry about a reel may begin with: what goes on from the takes before, and names nobody has given yet.

Only what binds or is plain to see is proposed: never what is to become of a take, never how severe a finding is, never
where a copy lies.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from stock.core.verdict import Advice
from stock.desk.desk import Desk
from stock.desk.session.loaded import Carried, carry_on
from stock.store.reader import Reader

_ENDS_IN_DIGITS = re.compile(r"(.*?)([0-9]{1,6})")
_LOOKED_AT = 200
"""Names looked at, newest first, for one that ends in a number."""


class Beginning(NamedTuple):
    """What a form about a reel may begin with, each as typed. copies: the next copy's name by transfer.

    formats: (sample rate, bit depth) of the house's newest transfers, newest first, each once.
    """

    carried: Carried
    hold: str
    transfer: str
    copies: Mapping[str, str]
    formats: tuple[tuple[str, str], ...]


def beginning(desk: Desk, advice: Advice) -> Beginning:
    """Read what an entry about an answered reel may begin with."""
    house = advice.view.house
    transfers = [row.transfer for _, _, row in advice.view.spans("transfers")]
    with desk.store.reading() as reader:
        carried = carry_on(reader, house, advice.reel)
        rates = reader.iterate(
            "SELECT sample_rate_hz, bit_depth FROM transfers GROUP BY 1, 2 ORDER BY max(entry) DESC LIMIT 4"
        )
        return Beginning(
            carried,
            next_name(reader, "holds", "hold", "H-1"),
            _next_transfer(reader, advice.reel, carried.project),
            {name: _next_copy(reader, name) for name in dict.fromkeys(transfers)},
            tuple((_kilohertz(rate), str(depth)) for rate, depth in rates),
        )


def next_order(desk: Desk) -> str:
    """The number of the next order."""
    with desk.store.reading() as reader:
        return next_name(reader, "orders", "order", "PO-001")


def next_name(reader: Reader, file: str, column: str, first: str, *, reel: str = "") -> str:
    """The name after the newest that ends in a number, that nobody has given; `first` where there is none.

    reel: only the names given on it count as the newest.
    """
    where, params = (" WHERE reel = ?", (reel,)) if reel else ("", ())
    sql = f'SELECT "{column}" FROM {file}{where} ORDER BY entry DESC LIMIT {_LOOKED_AT}'
    names = (_after(name) for (name,) in reader.raw(sql, params))
    name = next((each for each in names if each is not None), first)
    while reader.raw(f'SELECT 1 FROM {file} WHERE "{column}" = ? LIMIT 1', (name,)):
        name = _after(name) or f"{name}-1"
    return name


def _after(name: str) -> str | None:
    """`H-7` gives `H-8`; None where a name does not end in a number."""
    found = _ENDS_IN_DIGITS.fullmatch(name)
    if found is None:
        return None
    stem, digits = found.groups()
    return f"{stem}{int(digits) + 1:0{len(digits)}}"


def _next_transfer(reader: Reader, reel: str, project: str) -> str:
    """After the reel's newest transfer; on a reel without one, the project's initials and a number."""
    initials = "".join(word[0] for word in project.split() if word[0].isalnum()).upper()
    return next_name(reader, "transfers", "transfer", f"{initials or 'T'}-1", reel=reel)


def _next_copy(reader: Reader, transfer: str) -> str:
    """The first capital letter that is no copy's name yet; empty where all are."""
    taken = {
        name.strip().upper() for (name,) in reader.iterate("SELECT copy FROM copies WHERE transfer = ?", (transfer,))
    }
    return next((letter for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" if letter not in taken), "")


def _kilohertz(hertz: int) -> str:
    return f"{hertz / 1000:g} kHz" if hertz % 100 == 0 else f"{hertz} Hz"
