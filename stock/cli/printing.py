"""The one way out: lines of text made safe, JSON in plain ASCII, and the layout of both."""

from __future__ import annotations

import json
import shutil
import sys
import textwrap
from collections.abc import Iterator, Mapping, Sequence

import click

from stock.core.reasons import Answer, Severity
from stock.core.verdict import VERDICTS, Verdict
from stock.edge.visible import safe

USUAL_WIDTH = 80
_NARROWEST, _WIDEST = 60, 140

VERDICT_SIGNS: dict[Verdict, str] = {"clear": "+", "blank": "o", "inspect": "?", "keep": "!", "retire": "x"}
SEVERITY_SIGNS: dict[Severity, str] = {"no": "x", "doubt": "?", "note": "-"}
ANSWER_WORDS: dict[Answer, str] = {"yes": "yes", "no": "no", "unknown": "not known"}


def say(line: str = "") -> None:
    """One line to standard output; nothing in it is obeyed by a terminal."""
    click.echo(safe(line))


def complain(line: str) -> None:
    """One line to standard error; nothing in it is obeyed by a terminal."""
    click.echo(safe(line), err=True)


def say_json(answer: Mapping[str, object]) -> None:
    """An answer in JSON, all beyond ASCII escaped: a key on a line, and of lists an element on a line.

    Lists may be iterators: each element is written as it is made, so that a large house needs little memory.
    """
    opening = "{"
    for key, value in answer.items():
        head = f"{opening}{json.dumps(key)}: "
        opening = ",\n "
        if isinstance(value, (list, Iterator)):
            click.echo(f"{head}[", nl=False)
            ending = ""
            for element in value:
                click.echo(f"{ending}\n  {json.dumps(element)}", nl=False)
                ending = ","
            click.echo("]", nl=False)
        else:
            click.echo(f"{head}{json.dumps(value)}", nl=False)
    click.echo("}")


def can_show(signs: str) -> bool:
    """Whether the output's encoding holds all of some signs."""
    try:
        signs.encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def width() -> int:
    """Columns of the terminal, within reason; 80 where the output is none."""
    if not sys.stdout.isatty():
        return USUAL_WIDTH
    return min(max(shutil.get_terminal_size((USUAL_WIDTH, 24)).columns, _NARROWEST), _WIDEST)


def cut(text: str, most: int) -> str:
    """A text on one line of at most so many columns, its end shown as cut off."""
    shown = safe(" ".join(text.split()))
    return shown if len(shown) <= most else shown[: max(most - 1, 0)].rstrip() + "\u2026"


def wrapped(text: str, columns: int, first: str = "", rest: str | None = None) -> list[str]:
    """A text broken into lines, `first` before its first line and `rest` (as wide, if not given) before the others."""
    later = " " * len(first) if rest is None else rest
    lines = textwrap.wrap(safe(text), columns, initial_indent=first, subsequent_indent=later, break_on_hyphens=False)
    return lines or [first.rstrip()]


def table(heads: Sequence[str], rows: Sequence[Sequence[str]], columns: int) -> Iterator[str]:
    """Rows under their heads, each column as wide as it must be; the last takes what is left and is cut there."""
    shown = [[safe(cell) for cell in row] for row in rows]
    widths = [max(len(row[at]) for row in [heads, *shown]) for at in range(len(heads) - 1)]
    left = max(columns - sum(widths) - 2 * len(widths), 8)
    for row in [heads, *shown]:
        cells = [cell.ljust(wide) for cell, wide in zip(row, widths, strict=False)]
        yield "  ".join([*cells, cut(row[-1], left)]).rstrip()


def signed(verdict: Verdict) -> str:
    """A verdict as its sign and its word."""
    return f"{VERDICT_SIGNS[verdict]} {verdict}"


def signs_in_words() -> str:
    """The verdicts and what each says."""
    says: dict[Verdict, str] = {
        "clear": "may be wiped, fit to record on",
        "blank": "nothing on it, fit to record on",
        "inspect": "nothing to lose on it, look at the tape first",
        "keep": "do not wipe",
        "retire": "nothing to lose on it, fit for nothing",
    }
    return "; ".join(f"{signed(verdict)}: {says[verdict]}" for verdict in VERDICTS)
