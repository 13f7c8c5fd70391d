"""`plain`: the program line by line, for screen readers, Braille lines and pipes: a menu in words, reports as text."""

from __future__ import annotations

import shlex
import sys
from contextlib import suppress
from dataclasses import replace
from typing import NamedTuple

import click

from stock.cli.commands import house_command
from stock.cli.printing import say
from stock.cli.settings import Settings

_NOT_HERE = {"plain": "this is plain already", "demo": "the demo is begun from outside: `reelward demo plain`"}
_ENDS = frozenset({"q", "quit", "end", "exit"})
_HELP = frozenset({"?", "h", "help", "menu"})


class Asked(NamedTuple):
    """Something to be typed. option: what goes before it, none for a bare word. needed: whether it may not be empty."""

    prompt: str
    option: str = ""
    needed: bool = True


class Choice(NamedTuple):
    """A line of the menu. command: its words. asked: what is typed for it."""

    says: str
    command: tuple[str, ...]
    asked: tuple[Asked, ...] = ()


_REEL = Asked("Reel number")
MENU = (
    Choice("What there is to do now", ("now",)),
    Choice("The reels, all or by words", ("reels",), (Asked("Words to look for, or nothing", "--text", False),)),
    Choice("One reel: all that is known of it, and its tape", ("show",), (_REEL,)),
    Choice("Why: a reel's verdict, its reasons, what would change it", ("advise",), (_REEL,)),
    Choice("Measured wear of a reel", ("wear",), (_REEL,)),
    Choice(
        "Pick reels for takes",
        ("pick",),
        (
            Asked("Takes, such as 9:00 or 4:30x3", "--take"),
            Asked("Speed, such as 15 ips", "--speed"),
            Asked("Project, or nothing", "--project", False),
        ),
    ),
    Choice("Copies due to be read again", ("due",)),
    Choice("Needs: what will have to be bought", ("forecast",)),
    Choice("What to order", ("order",)),
    Choice("What is on order", ("orders",)),
    Choice("What tape costs", ("cost",)),
    Choice("The house rules", ("rules",)),
    Choice("Cautions", ("cautions",)),
)


@house_command("plain", dated=True)
@click.pass_obj
def plain(settings: Settings) -> None:
    """Line by line: a menu in words, every report as text, every command by its words. Ends at the end of input."""
    with suppress(ImportError):
        import readline  # noqa: F401  (input() takes keys of editing and older lines from it)

    house = replace(settings, in_words=True)
    with suppress(EOFError):
        _menu()
        while True:
            typed = _line("reelward> ")
            if typed.casefold() in _ENDS:
                return
            _obey(typed, house)
    say()


def _line(prompt: str) -> str:
    """A line typed; EOFError at the end of input, or where there is none."""
    if sys.stdin is None:
        raise EOFError
    return input(prompt).strip()


def _menu() -> None:
    say("reelward, line by line. Type the number of a line, or the words of a command.")
    for number, choice in enumerate(MENU, 1):
        say(f"{number}. {choice.says}")
    say("Commands are typed as after `reelward`: show M-0101, or add pass --help.")
    say("help tells this again; commands lists all commands; q ends.")


def _obey(typed: str, house: Settings) -> None:
    if not typed or typed.casefold() in _HELP:
        _menu()
    elif typed.casefold() == "commands":
        _run(["--help"], house)
    elif typed.isascii() and typed.isdigit():
        if 1 <= int(typed) <= len(MENU):
            _ask(MENU[int(typed) - 1], house)
        else:
            say(f"There is no line {typed}: type 1 to {len(MENU)}, or help.")
    else:
        try:
            words = shlex.split(typed)
        except ValueError:
            say("A quotation mark is not closed: type it once more, closed.")
            return
        _run(words[1:] if words[0] == "reelward" else words, house)


def _ask(choice: Choice, house: Settings) -> None:
    words = list(choice.command)
    for asked in choice.asked:
        typed = _line(f"{asked.prompt}: ")
        if not typed and asked.needed:
            say("Nothing was typed, so nothing is asked. Type a number from the menu, or help.")
            return
        if typed:
            # joined with `=`, so that what is typed is never taken for an option
            words += [f"{asked.option}={typed}"] if asked.option else ["--", typed]
    _run(words, house)


def _run(words: list[str], house: Settings) -> None:
    from stock.cli.main import COMMANDS, main

    if not words:
        say("Type a number from the menu, or help.")
        return
    if words[0] in _NOT_HERE:
        say(f"Not here: {_NOT_HERE[words[0]]}.")
        return
    if words[0] not in COMMANDS and not words[0].startswith("-"):
        say(f"There is no command {words[0]}: type a number from the menu, `commands` for all commands, or help.")
        return
    if words[0].startswith("-") and words != ["--help"]:
        say("Begin with a command, and give its options after it.")
        return
    main(words, replace(house))
    say()
