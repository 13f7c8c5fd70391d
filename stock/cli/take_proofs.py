"""What proves each take of a reel, as lines of a page and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from stock.cli.printing import wrapped
from stock.core.moments import date_of
from stock.core.take_proof import CopyState, TakeProof, TransferState, take_proofs
from stock.core.verdict import Advice

_SIGNS = {"proved": "+", "given up": "-", "unproved": "x"}


def proof_page(advice: Advice, wide: int) -> Iterator[str]:
    """A line for each take, then its transfers and copies, what is missing, and what would help most."""
    found = take_proofs(advice)
    if not found:
        return
    yield "Proof, take by take:"
    for take in found:
        yield from wrapped(f"{take.label.removeprefix('take ')}: {take.state}", wide, f"  {_SIGNS[take.state]} ")
        for each in take.transfers:
            yield from _transfer_lines(each, wide)
        for _, says in take.missing:
            yield from wrapped(f"missing: {says}", wide, " " * 6, " " * 8)
        if take.action is not None:
            yield from wrapped(f"helps most: {take.action.says}", wide, " " * 6, " " * 8)
    yield ""


def _transfer_lines(state: TransferState, wide: int) -> Iterator[str]:
    transfer = state.transfer
    words = f"transfer {transfer.transfer}, {transfer.sample_rate_hz} Hz, {transfer.bit_depth} bit"
    yield from wrapped(f"{words}: {'proved' if state.proof.proved else 'not proved'}", wide, " " * 6, " " * 8)
    for each in state.copies:
        good = "good" if each.fault is None else each.fault.code
        words = f"copy {each.copy.copy} on {each.copy.medium}, {each.copy.place}: {good}, {_read(each)}"
        yield from wrapped(words, wide, " " * 8, " " * 10)


def _read(copy: CopyState) -> str:
    return f"read {date_of(copy.read_day).isoformat()}" if copy.read_day is not None else "never read"


def proof_json(advice: Advice) -> list[dict[str, Any]]:
    """The same as JSON."""
    return [_take_json(take) for take in take_proofs(advice)]


def _take_json(take: TakeProof) -> dict[str, Any]:
    action = take.action
    return {
        "label": take.label.removeprefix("take "),
        "entry": take.take.entry if take.take is not None else None,
        "state": take.state,
        "missing": [{"code": code, "says": says} for code, says in take.missing],
        "transfers": [
            {
                "transfer": each.transfer.transfer,
                "proved": each.proof.proved,
                "copies": [
                    {
                        "copy": copy.copy.copy,
                        "medium": copy.copy.medium,
                        "place": copy.copy.place,
                        "last": date_of(copy.read_day).isoformat() if copy.read_day is not None else None,
                        "code": copy.fault.code if copy.fault is not None else None,
                    }
                    for copy in each.copies
                ],
            }
            for each in take.transfers
        ],
        "action": None
        if action is None
        else {"code": action.code, "says": action.says, "transfer": action.transfer, "copy": action.copy},
    }
