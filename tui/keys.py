"""Every key the screens obey, in one table: bindings, footer, help and the README's list are made from it.

No key here is one that terminals and multiplexers keep for themselves (ctrl with j, m, i, s, q, z, a, b, h).
"""

from __future__ import annotations

from typing import NamedTuple

from textual.binding import Binding


class Key(NamedTuple):
    """One key. id: by which it can be given another key. where: the place it works in. shown: whether in the footer."""

    id: str
    key: str
    action: str
    words: str
    tooltip: str
    where: str
    shown: bool = True


KEYS: tuple[Key, ...] = (
    Key("help", "question_mark,f1", "help", "Help", "What every key does, and the cautions", "everywhere"),
    Key("quit", "q", "quit_program", "Quit", "Leave the program", "everywhere"),
    Key(
        "back",
        "escape",
        "back",
        "Back",
        "Back to where you were; in the list: take away the search, then the filter",
        "everywhere",
        False,
    ),
    Key("theme", "t", "theme", "Light or dark", "The other set of colours", "everywhere", False),
    Key("search", "slash", "search", "Search", "Type words of number, project, client, title, tape, note", "shelf"),
    Key("open", "enter", "open", "Open", "Open the reel under the cursor", "shelf"),
    Key("filter", "f", "filter", "Filter", "Only some verdicts, owners, stock items or shelves", "shelf"),
    Key("order", "o", "order", "Order", "Another order of the list", "shelf"),
    Key("pick", "p", "pick", "Pick", "Find a reel for a take", "shelf"),
    Key("wipe", "w", "wipe", "Wipe", "Erase the reel under the cursor for reuse, in guarded steps", "shelf"),
    Key("copies", "c", "copies", "Copies", "Transfers that wait for proof, and copies due to be read", "shelf"),
    Key("open_copy", "enter", "open_copy", "Prove", "Do what would help most, or read the copy", "copies"),
    Key("read_due", "r", "read_due", "Read all due", "Read all copies that are due and can be reached", "copies"),
    Key("listen", "l", "listen", "Listen", "Enter that the files of the transfer were heard", "copies"),
    Key("prove_it", "f2", "prove", "Prove it", "Read every file of the copy from end to end", "proving"),
    Key("folders", "f3", "folders", "Folders", "Pick the copy's folder from those there are", "proving"),
    Key("hear_it", "f4", "listen", "Listen", "Enter that the files were heard", "proving"),
    Key("this_folder", "f2", "take", "This folder", "Take the folder under the cursor", "folders"),
    Key("folder_above", "f3", "up", "The folder above", "Show the folder above", "folders"),
    Key("heard", "f2", "heard", "It was heard", "Enter the listen", "listen"),
    Key("reserve", "f2", "reserve", "Reserve", "Keep the reels of the plan for the project", "pick"),
    Key("row_up", "up", "row(-1)", "Up", "The reel above", "reel list", False),
    Key("row_down", "down", "row(1)", "Down", "The reel below", "reel list", False),
    Key("page_up", "pageup", "page(-1)", "Page up", "One page of reels up", "reel list", False),
    Key("page_down", "pagedown", "page(1)", "Page down", "One page of reels down", "reel list", False),
    Key("first", "home", "to_end(-1)", "First", "The first reel", "reel list", False),
    Key("last", "end", "to_end(1)", "Last", "The last reel", "reel list", False),
    Key("filter_show", "f2", "show", "Show these", "Narrow the list to what is chosen", "filter"),
    Key("step_left", "left", "step(-1)", "Step back", "One step towards the head", "tape map", False),
    Key("step_right", "right", "step(1)", "Step on", "One step towards the tail", "tape map", False),
    Key("stride_left", "shift+left", "step(-30)", "Stride back", "Thirty steps towards the head", "tape map", False),
    Key("stride_right", "shift+right", "step(30)", "Stride on", "Thirty steps towards the tail", "tape map", False),
    Key("event_left", "comma", "event(-1)", "Before", "To the event before the cursor", "tape map", False),
    Key("event_right", "full_stop", "event(1)", "After", "To the event after the cursor", "tape map", False),
    Key("to_head", "home", "to_end(-1)", "Head", "To the head of the tape", "tape map", False),
    Key("to_tail", "end", "to_end(1)", "Tail", "To the tail of the tape", "tape map", False),
    Key("zoom_in", "plus,equals_sign", "zoom(1)", "Closer", "Show half as much tape", "tape map"),
    Key("zoom_out", "minus", "zoom(-1)", "Wider", "Show twice as much tape", "tape map"),
    Key("speed", "s", "speed", "Speed", "Times at the next speed", "tape map"),
    Key("place", "g", "go_to", "Go to", "Go to a place: 12:40, 475 ft", "tape map"),
    Key("read", "enter", "read_place", "Read", "All that is known of the place under the cursor", "tape map", False),
    Key("add", "a", "add", "Enter", "Enter a fact about this reel", "reel"),
    Key("wipe_reel", "w", "wipe", "Wipe", "Erase this reel for reuse, in guarded steps", "reel"),
    Key("proof", "p", "proof", "Proof", "What proves each take, what is missing, what would help most", "reel"),
    Key("wipe_step", "f2", "step_on", "Go on", "Ask for the permit, enter the wipe, enter what is heard", "wipe"),
    Key("void", "v", "void", "Void", "Take back the entry under the cursor", "history"),
    Key("line_up", "up", "move(-1)", "Up", "The reason or entry above", "reasons and history", False),
    Key("line_down", "down", "move(1)", "Down", "The reason or entry below", "reasons and history", False),
    Key("lines_up", "pageup", "move(-8)", "Page up", "Some reasons or entries up", "reasons and history", False),
    Key("lines_down", "pagedown", "move(8)", "Page down", "Some reasons or entries down", "reasons and history", False),
    Key("line_first", "home", "to_end(-1)", "First", "The first reason or entry", "reasons and history", False),
    Key("line_last", "end", "to_end(1)", "Last", "The last reason or entry", "reasons and history", False),
    Key("on_map", "enter", "choose", "On the map", "Put the map's cursor where it lies", "reasons and history"),
    Key("enter_it", "f2", "enter_it", "Enter it", "Enter what the form says", "entry form"),
)


def bindings(*places: str) -> list[Binding | tuple[str, str] | tuple[str, str, str]]:
    """The bindings of some places."""
    return [key_binding(key.id) for key in KEYS if key.where in places]


def key_binding(id: str) -> Binding:
    """The binding of one key, for a screen that gives it a meaning of its own."""
    (key,) = (key for key in KEYS if key.id == id)
    return Binding(key.key, key.action, key.words, show=key.shown, id=key.id, tooltip=key.tooltip)
