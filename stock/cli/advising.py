"""`advise`: the verdict of every reel, or of those named, with the reasons."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

import click

from stock.cli.answers import advice_json, day_of, longest_words, offered, usual_speed
from stock.cli.commands import house_command
from stock.cli.printing import (
    ANSWER_WORDS,
    SEVERITY_SIGNS,
    say,
    say_json,
    signed,
    signs_in_words,
    table,
    width,
    wrapped,
)
from stock.cli.settings import Settings
from stock.core.measure import Speed
from stock.core.reasons import Reason
from stock.core.rules import GRADES
from stock.core.tracks import spell
from stock.core.verdict import VERDICTS, Advice, Verdict
from stock.core.words import feet, speed_words, stretch

if TYPE_CHECKING:
    from stock.core.trimming import Trim
    from stock.desk.desk import Desk
    from stock.desk.measuring import Worth


@house_command("advise", dated=True, has_json=True)
@click.argument("reels", metavar="[REEL ...]", nargs=-1)
@click.pass_obj
def advise(settings: Settings, reels: tuple[str, ...]) -> None:
    """The verdict of every reel, or of those named with all reasons.

    Exit status 1 when reels are named and one of them is neither clear nor blank.
    """
    named = [reel.strip() for reel in reels]
    verdicts: set[Verdict] = set()
    with settings.asking() as desk:
        answers = _noting(desk.advise(named or None), verdicts)
        day = day_of(desk.as_of())
        if named:
            told = list(answers)
            cuts = {advice.reel: _cuts(desk, advice) for advice in told}
    if settings.as_json and named:
        say_json(
            {"as_of": day, "reels": [{**advice_json(each), "trimming": _cuts_json(cuts[each.reel])} for each in told]}
        )
    elif settings.as_json:
        say_json({"as_of": day, "reels": map(advice_json, answers)})
    elif named:
        for advice in told:
            for line in reasons_page(advice, width()):
                say(line)
            for trim, worth in cuts[advice.reel]:
                from stock.desk.wear_words import cut_words

                for line in wrapped(cut_words(advice, trim, worth), width(), f"{'':2}cutting  "):
                    say(line)
            say()
        say(f"As of {day}.")
    else:
        for line in advice_table(answers, day, width()):
            say(line)
    if named and verdicts - {"clear", "blank"}:
        click.get_current_context().exit(1)


def _cuts(desk: Desk, advice: Advice) -> list[tuple[Trim, Worth]]:
    from stock.desk.measuring import cuts_worth

    return cuts_worth(desk, advice)


def _cuts_json(cuts: list[tuple[Trim, Worth]]) -> list[dict[str, Any]]:
    from stock.cli.wearing import trim_json

    return [trim_json(trim, worth) for trim, worth in cuts]


def _noting(answers: Iterable[Advice], verdicts: set[Verdict]) -> Iterator[Advice]:
    """The answers, each verdict noted as it goes by."""
    for advice in answers:
        verdicts.add(advice.verdict)
        yield advice


def advice_table(answers: Iterable[Advice], day: str, columns: int) -> Iterator[str]:
    """Every reel on a line: verdict, best grade, longest fit stretch, first reason; then how many of each verdict."""
    rows = []
    counts = Counter[Verdict]()
    speed = ""
    for advice in answers:
        counts[advice.verdict] += 1
        speed = speed or speed_words(Speed(usual_speed(advice)))
        best = offered(advice)
        grade, longest = (best[0], longest_words(advice, best[1])) if best else ("", "")
        rows.append((advice.reel, signed(advice.verdict), grade, longest, _first_reason(advice)))
    if not rows:
        yield f"As of {day} there is no reel in the record."
        return
    yield from table(("reel", "verdict", "grade", "longest", "first reason"), rows, columns)
    yield ""
    held = ", ".join(f"{counts[verdict]} {verdict}" for verdict in VERDICTS if counts[verdict])
    yield from wrapped(f"As of {day}, times at {speed}: {held}.", columns)
    yield from wrapped(f"{signs_in_words()}.", columns)


def _first_reason(advice: Advice) -> str:
    """The weightiest reason of the question that made the verdict, in its sentence."""
    about = "recording" if advice.verdict == "keep" else "tape"
    told = [reason for reason in advice.reasons if reason.about == about and reason.severity != "note"]
    return next((reason.says for reason in [*told, *advice.reasons]), "")


def reasons_page(advice: Advice, columns: int) -> Iterator[str]:
    """One reel's verdict, its two answers, and every reason with what would change it."""
    best = offered(advice)
    offer = (
        f", {best[0]}, {longest_words(advice, best[1])} at {speed_words(Speed(usual_speed(advice)))}" if best else ""
    )
    yield f"{advice.reel}  {signed(advice.verdict)}{offer}"
    yield f"  may the recording go?  {ANSWER_WORDS[advice.erasable]}"
    fits = ", ".join(f"{grade} {ANSWER_WORDS[advice.fit(grade).answer]}" for grade in GRADES)
    yield f"  is the tape fit?       {fits}"
    for reason in advice.reasons:
        yield from _reason_lines(advice, reason, columns)


def _reason_lines(advice: Advice, reason: Reason, columns: int) -> Iterator[str]:
    where = ""
    if reason.lo is not None and reason.hi is not None and (reason.lo, reason.hi) != (0, advice.view.length):
        where = f"  {stretch(reason.lo, reason.hi, usual_speed(advice))} ({feet(reason.lo)} to {feet(reason.hi)})"
    on = f"  tracks {spell(reason.tracks)}" if reason.tracks is not None else ""
    head = f"{SEVERITY_SIGNS[reason.severity]} {reason.severity:5}  {reason.about}: {reason.code}{where}{on}"
    yield from wrapped(head, columns, "  ", " " * 11)
    yield from wrapped(reason.says, columns, " " * 11)
    if reason.remedy:
        yield from wrapped(reason.remedy, columns, f"{'':11}to change it: ", " " * 13)
