"""`prove` and `due`: copies of transfers read from end to end, and which are to be read again."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, width, wrapped
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.proving import Proved
    from stock.desk.waiting import Waiting
    from stock.proof.facts import Progress

_STOPPED = 130


@house_command("prove", has_json=True)
@click.argument("transfer")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--medium", metavar="NAME", required=True, help="The disk, card or store the folder is on.")
@click.option("--place", type=click.Choice(["here", "elsewhere"]), required=True, help="In this house or another.")
@click.option("--copy", "copy_name", metavar="NAME", help="The copy's name; else the medium's.")
@click.option(
    "--track", "tracks", metavar="FILE=N[,N]", multiple=True, help="Which tracks a file holds, in its channels' order."
)
@click.option(
    "--own-medium", is_flag=True, help="Another medium, though on one file system with another copy's: your word."
)
@click.pass_obj
def prove(
    settings: Settings,
    /,
    transfer: str,
    folder: Path,
    medium: str,
    place: str,
    copy_name: str | None,
    tracks: tuple[str, ...],
    own_medium: bool,
) -> None:
    """Prove a copy of a transfer: every file read, decoded, measured and hashed; recorded with all that is found.

    Exit status 1 when it fails. Stopped by Ctrl+C, it records nothing and goes on from there the next time.
    """
    from stock.desk.proving import prove as answer

    mapping = dict(map(_mapped, tracks))
    with settings.entering(create=False) as desk, Watch() as told:
        proved = answer(
            desk, transfer, folder, medium=medium, place=place, copy=copy_name, mapping=mapping or None,
            own_medium=own_medium, told=told.show, stop=told.stopped,
        )  # fmt: skip
    if settings.as_json:
        say_json(_json(proved))
    else:
        for line in _page(proved, width()):
            say(line)
    if proved.report.stopped:
        click.get_current_context().exit(_STOPPED)
    if not proved.report.passed:
        click.get_current_context().exit(1)


@house_command("due", has_json=True)
@click.option("--run", is_flag=True, help="Read all that are due and reachable now, unattended.")
@click.pass_obj
def due(settings: Settings, run: bool) -> None:
    """The copies that are due to be read again, the longest ago first, and the transfers that wait for proof.

    Exit status 1 when a read fails. A medium that is not there is named, and is neither a failure nor a pass.
    """
    from stock.desk.fixity import read_due
    from stock.desk.proving import due as asked
    from stock.desk.waiting import waiting

    results: list[dict[str, Any]] = []
    with settings.entering(create=False) if run else settings.asking() as desk:
        if run:
            with Watch() as told:
                for read in read_due(desk, told=told.show, stop=told.stopped):
                    results.append({**read.copy._asdict(), "result": read.result})
        else:
            for row in asked(desk):
                results.append({**row._asdict(), "result": "due" if row.here else "not reachable"})
        queue = waiting(desk)
    if settings.as_json:
        say_json({"copies": results, "waiting": [_waiting_json(each) for each in queue]})
    else:
        for line in _due_page(results, queue, width()):
            say(line)
    found = {row["result"] for row in results}
    if "stopped" in found:
        click.get_current_context().exit(_STOPPED)
    if "fail" in found:
        click.get_current_context().exit(1)


def _due_page(results: list[dict[str, Any]], queue: list[Waiting], columns: int) -> Iterator[str]:
    for row in results:
        last = f"last read {row['last']}" if row["last"] else "never read"
        ask = f": mount {row['medium']}" if row["result"] == "not reachable" else ""
        what = f"{row['transfer']}, copy {row['copy']} on {row['medium']}"
        yield from wrapped(f"{what}: {last}, {row['result']}{ask}", columns, rest="  ")
    if not results:
        yield "No copy is due to be read."
    if queue:
        yield ""
        yield "Waiting for proof:"
    for each in queue:
        helps = f"; helps most: {each.action.says}" if each.action is not None else ""
        codes = ", ".join(fault.code for fault in each.state.proof.faults)
        takes = ", ".join(take.removeprefix("take ") for take in each.takes)
        yield from wrapped(f"{each.transfer} of {each.reel} ({takes}): {codes}{helps}", columns, rest="  ")


def _waiting_json(each: Waiting) -> dict[str, Any]:
    return {
        "transfer": each.transfer,
        "reel": each.reel,
        "takes": [take.removeprefix("take ") for take in each.takes],
        "codes": [fault.code for fault in each.state.proof.faults],
        "action": each.action.says if each.action is not None else None,
    }


def _mapped(text: str) -> tuple[str, tuple[int, ...]]:
    from stock.edge.file_tracks import file_tracks
    from stock.edge.problems import CellError

    try:
        return file_tracks(text)
    except CellError as error:
        raise click.UsageError(f"--track {error}") from None


class Watch:
    """Progress on a terminal's own line, and Ctrl+C taken as the wish to stop."""

    def __init__(self) -> None:
        self._stop = False
        self._tty = sys.stderr.isatty()

    def __enter__(self) -> Watch:
        import signal

        self._before = signal.signal(signal.SIGINT, self._interrupt)
        return self

    def __exit__(self, *error: object) -> None:
        import signal

        signal.signal(signal.SIGINT, self._before)
        if self._tty:
            click.echo("\r" + " " * 78 + "\r", nl=False, err=True)

    def _interrupt(self, *_: object) -> None:
        self._stop = True

    def stopped(self) -> bool:
        return self._stop

    def show(self, progress: Progress) -> None:
        if self._tty:
            from stock.core.words import clock

            left = f", {clock(int(progress.left_s * 1_000_000))} left" if progress.left_s is not None else ""
            share = 100 * progress.bytes_done // max(progress.bytes_total, 1)
            words = f"{share} %, file {progress.files_done + 1} of {progress.files}{left}"
            click.echo(f"\r{words:<78}", nl=False, err=True)


def _json(proved: Proved) -> dict[str, Any]:
    report = proved.report
    return {
        "transfer": proved.transfer,
        "copy": proved.copy,
        "passed": report.passed,
        "stopped": report.stopped,
        "manifest_sha256": report.manifest_sha256,
        "files": [
            {"path": file.path, "bytes": file.size_bytes, "sha256": file.sha256, "tracks": list(file.tracks or ())}
            for file in report.files
        ],
        "remarks": [remark._asdict() for remark in report.remarks],
        "line": proved.receipt.line if proved.receipt is not None else None,
    }


def _page(proved: Proved, columns: int) -> Iterator[str]:
    from stock.core.words import clock

    report = proved.report
    if report.stopped:
        yield f"Stopped: nothing is recorded; {len(report.files)} files are read, and the next call goes on from there."
        return
    word = "passed" if report.passed else "FAILED"
    yield f"Copy {proved.copy} of transfer {proved.transfer}: {word}, {len(report.files)} files."
    for remark in report.remarks:
        place = ""
        if remark.start_us is not None and remark.end_us is not None:
            place = f" ({clock(remark.start_us)} to {clock(remark.end_us)})"
        sign = "x fail" if remark.severity == "fail" else "- note"
        yield from wrapped(f"{remark.says}{place}", columns, f"  {sign}  ", " " * 10)
        if remark.severity == "fail":
            yield from wrapped(f"to mend it: {remark.remedy}", columns, " " * 10)
    yield f"Manifest {report.manifest_sha256}"
    if proved.receipt is not None:
        yield f"Recorded, journal line {proved.receipt.line}."
    if report.passed:
        yield "Hashes prove files, not a good transfer: listen at head, middle and end of every track, and enter it:"
        yield f"  reelward add listen --transfer {proved.transfer}"
