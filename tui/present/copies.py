"""Transfers that wait for proof, copies that are due, and the report of a reading: as lines for the screen."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len, set_cell_size

from stock.core.moments import date_of
from stock.core.take_proof import CopyState, TakeProof, TransferState
from stock.core.words import clock
from stock.desk.fixity import Reread
from stock.desk.proving import DueCopy, Proved
from stock.desk.waiting import Waiting
from stock.edge.visible import safe
from tui.present.line import Line, Piece

_STATES = {"proved": ("✓", "yes"), "given up": ("·", "quiet"), "unproved": ("✗", "no")}
_RESULTS = {"pass": ("✓", "yes"), "fail": ("✗", "no"), "stopped": ("…", "doubt"), "not reachable": ("?", "doubt")}


def cell(text: str, width: int) -> str:
    """A text as wide as its column; what does not fit gives way to `…`."""
    shown = safe(text)
    return set_cell_size(shown, width) if cell_len(shown) <= width else f"{set_cell_size(shown, width - 1)}…"


def waiting_line(row: Waiting) -> Line:
    """One transfer that waits: its name, its reel, what is missing, what would help most."""
    codes = ", ".join(fault.code.replace("-", " ") for fault in row.state.proof.faults)
    helps = (Piece(f"→ {safe(row.action.says)}", "plain"),) if row.action is not None else ()
    return Piece(f" {cell(row.transfer, 9)} ", "strong"), Piece(f"{cell(row.reel, 8)} {cell(codes, 24)} "), *helps


def waiting_detail(row: Waiting) -> list[Line]:
    """What rests on a transfer that waits, and all that is missing."""
    takes = ", ".join(safe(take) for take in row.takes)
    faults = [*row.state.proof.faults, *row.state.proof.copies]
    says = "; ".join(safe(fault.says) for fault in faults)
    return [(Piece(f"{takes} of {safe(row.reel)}. ", "strong"), Piece(f"{says[:1].upper()}{says[1:]}."))]


def due_line(row: DueCopy) -> Line:
    """One copy that is due: its names, its medium and place, when it was last read, whether it can be."""
    last = row.last or "never read"
    here = Piece("can be read", "yes") if row.here else Piece(f"mount {safe(row.medium)}", "doubt")
    what = f"{cell(row.copy, 9)} {cell(row.medium, 16)} {cell(row.place, 9)} {cell(last, 11)}"
    return Piece(f" {cell(row.transfer, 9)} ", "strong"), Piece(f"{what} "), here


def report_lines(proved: Proved) -> list[Line]:
    """The report of a copy that was read, for a person."""
    report = proved.report
    name = f"copy {safe(proved.copy)} of transfer {safe(proved.transfer)}"
    if report.stopped:
        return [(Piece("… ", "doubt"), Piece(f"Stopped: nothing is recorded of {name}. It goes on from there."))]
    sign, ink, word = ("✓ ", "yes", "passed") if report.passed else ("✗ ", "no", "FAILED")
    files = f"{len(report.files)} file{'' if len(report.files) == 1 else 's'}"
    lines: list[Line] = [(Piece(sign, ink), Piece(f"C{name[1:]}: "), Piece(word, ink), Piece(f", {files}."))]
    for remark in sorted(report.remarks, key=lambda found: found.severity != "fail"):
        place = ""
        if remark.start_us is not None and remark.end_us is not None:
            place = f" ({clock(remark.start_us)} to {clock(remark.end_us)})"
        mark = Piece("  ✗ ", "no") if remark.severity == "fail" else Piece("  · ", "quiet")
        lines.append((mark, Piece(f"{safe(remark.says)}{place}")))
        if remark.severity == "fail":
            lines.append((Piece("    → "), Piece(safe(remark.remedy), "quiet")))
    if report.passed:
        says = "Hashes prove files, not a good transfer: somebody has to hear it at head, middle and end."
        lines.append((Piece(f"  {says}", "quiet"),))
    return lines


def rereads_lines(read: Sequence[Reread]) -> list[Line]:
    """The report of all copies that were due: what passed, what failed and why, what is to be mounted."""
    counts = {name: sum(each.result == name for each in read) for name in _RESULTS}
    said = ", ".join(f"{count} {name}" for name, count in counts.items() if count) or "nothing was due"
    lines: list[Line] = [(Piece(f"Copies read again: {said}.", "strong"),)]
    for each in read:
        sign, ink = _RESULTS[each.result]
        ask = f": mount {safe(each.copy.medium)}" if each.result == "not reachable" else ""
        words = (
            f"{safe(each.copy.transfer)}, copy {safe(each.copy.copy)} on {safe(each.copy.medium)}: {each.result}{ask}"
        )
        lines.append((Piece(f"{sign} ", ink), Piece(words)))
        if each.result == "fail" and each.proved is not None:
            lines += [line for line in report_lines(each.proved)[1:] if line[0].ink == "no"]
    return lines


def take_lines(take: TakeProof) -> list[Line]:
    """What proves one take: its transfers and copies, what is missing, what would help most."""
    sign, ink = _STATES[take.state]
    lines: list[Line] = [
        (Piece(f"{sign} ", ink), Piece(safe(take.label.removeprefix("take ")), "strong"), Piece(f"  {take.state}", ink))
    ]
    for each in take.transfers:
        lines.append(_transfer_line(each))
        lines += [_copy_line(copy) for copy in each.copies]
    missing = [says for _, says in take.missing]
    lines += [(Piece("    missing: ", "quiet"), Piece(safe(says))) for says in missing]
    if take.action is not None:
        lines.append((Piece("    → ", "mark"), Piece(safe(take.action.says), "strong")))
    return lines


def _transfer_line(state: TransferState) -> Line:
    transfer = state.transfer
    ink = "proved" if state.proof.proved else "unproved"
    shape = f", {transfer.sample_rate_hz / 1000:g} kHz, {transfer.bit_depth} bit: "
    words = "proved" if state.proof.proved else "not proved"
    return Piece(f"    transfer {safe(transfer.transfer)}{shape}"), Piece(words, ink)


def _copy_line(state: CopyState) -> Line:
    read = f"read {date_of(state.read_day).isoformat()}" if state.read_day is not None else "never read"
    sign = Piece("      ✓ ", "yes") if state.fault is None else Piece("      ✗ ", "no")
    why = f", {state.fault.code.replace('-', ' ')}" if state.fault is not None else ""
    return sign, Piece(f"copy {safe(state.copy.copy)} on {safe(state.copy.medium)}, {state.copy.place}, {read}{why}")
