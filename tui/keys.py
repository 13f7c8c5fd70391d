"""Every key the screens obey, in one table: bindings, footer, help and the README's list are made from it.

No key here is one that terminals and multiplexers keep for themselves (ctrl with j, m, i, s, q, z, a, b, h).
"""

from __future__ import annotations

from typing import NamedTuple

from textual.binding import Binding

from tui.places import PLACES


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
    Key("copy_out", "y", "copy_out", "Copy", "Copy, save or print what is on the screen", "everywhere", False),
    Key("theme", "ctrl+t", "theme", "Colours", "The next set of colours", "everywhere", False),
    Key(
        "number",
        "n",
        "number",
        "Number",
        "Type or scan a reel's number: its verdict, its page",
        "everywhere",
        False,
    ),
    *(
        Key(
            f"place_{place.name}",
            f"{place.key},alt+{place.key}",
            f"go('{place.name}')",
            place.words,
            place.tooltip,
            "everywhere",
            False,
        )
        for place in PLACES
    ),
    Key(
        "cure",
        "enter",
        "cure",
        "Open",
        "Go where the line under the cursor is seen to; or show more of its kind",
        "now",
    ),
    Key("task_up", "up", "row(-1)", "Up", "The line above", "task list", False),
    Key("task_down", "down", "row(1)", "Down", "The line below", "task list", False),
    Key("task_page_up", "pageup", "page(-1)", "Page up", "One page of lines up", "task list", False),
    Key("task_page_down", "pagedown", "page(1)", "Page down", "One page of lines down", "task list", False),
    Key("task_first", "home", "to_end(-1)", "First", "The first line", "task list", False),
    Key("task_last", "end", "to_end(1)", "Last", "The last line", "task list", False),
    Key("search", "slash", "search", "Search", "Type words of number, project, client, title, tape, note", "shelf"),
    Key("open", "enter", "open", "Open", "Open the reel under the cursor", "shelf"),
    Key("filter", "v", "filter", "View", "Only some verdicts, owners, stock items or shelves", "shelf"),
    Key("order", "o", "order", "Order", "Another order of the list", "shelf"),
    Key("item_before", "comma", "item(-1)", "Before", "The stock item before", "needs"),
    Key("item_after", "full_stop", "item(1)", "After", "The stock item after", "needs"),
    Key("needs_why", "e", "why", "Why", "The projects behind it, and what is not counted", "needs"),
    Key("open_copy", "enter", "open_copy", "Prove", "Do what would help most, or read the copy", "copies"),
    Key("read_due", "f2", "read_due", "Read all due", "Read all copies that are due and can be reached", "copies"),
    Key("listen", "h", "listen", "Hear", "Enter that the files of the transfer were heard", "copies"),
    Key("prove_it", "f2", "prove", "Prove it", "Read every file of the copy from end to end", "proving"),
    Key("folders", "f3", "folders", "Folders", "Pick the copy's folder from those there are", "proving"),
    Key("hear_it", "f4", "listen", "Hear", "Enter that the files were heard", "proving"),
    Key("why_remarks", "f5", "why", "Why", "What each remark on the files means, and what to do", "proving"),
    Key("this_folder", "f2", "take", "This folder", "Take the folder under the cursor", "folders"),
    Key("folder_above", "f3", "up", "The folder above", "Show the folder above", "folders"),
    Key("heard", "f2", "heard", "It was heard", "Enter the listen", "listen"),
    Key("reserve", "f2", "reserve", "Reserve", "Keep the reels of the plan for the project", "pick"),
    Key("why_not", "f3", "why_not", "Why not", "Why the other reels may not serve, in plain words", "pick"),
    Key("by_hand", "f2", "by_hand", "By hand", "Change the line under the cursor: how many, by when", "buying"),
    Key("plan", "f3", "view('plan')", "Plan", "What to order", "buying", False),
    Key("beside", "f4", "view('beside')", "Beside", "The plan at other prices; the next cheaper and safer", "buying"),
    Key("costs", "f5", "view('costs')", "Costs", "What tape costs: shelf, projects, write-offs, months", "buying"),
    Key("place_order", "f6", "place_order", "Order", "Enter the order of the line under the cursor", "buying"),
    Key("free_all", "f7", "free_all", "As planned", "Forget what was set by hand", "buying", False),
    Key("orders", "f8", "orders", "Orders", "What is on order, and receiving it", "buying"),
    Key("receive", "f2", "receive", "Receive", "Enter that reels of the order under the cursor came", "orders"),
    Key("came", "f2", "came", "They came", "Enter the reels and the receipt", "receiving"),
    Key("set_by_hand", "f2", "set_by_hand", "Set by hand", "Keep the line as typed when planning again", "order line"),
    Key("change_rule", "f2", "change", "Change", "Another value for the rule, what it changes seen first", "rules"),
    Key("group_before", "comma", "group(-1)", "Before", "The group of rules before", "rules"),
    Key("group_after", "full_stop", "group(1)", "After", "The group of rules after", "rules"),
    Key("changed_rules", "v", "changed", "View", "Only the rules that are not at their default; all of them", "rules"),
    Key("set_rule", "f2", "set_it", "Set it", "Enter the rule, once it is seen what it changes", "rule"),
    Key("try_rule", "f3", "see", "See", "Work out which verdicts it would change", "rule"),
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
    Key("lanes", "d", "lanes", "Lanes", "Which lanes of the map are drawn", "tape map", False),
    Key("lanes_show", "f2", "show", "Show these", "Draw the lanes that are ticked", "lanes"),
    Key("read", "enter", "read_place", "Read", "All that is known of the place under the cursor", "tape map", False),
    Key("add", "a", "add", "Enter", "Enter a fact about this reel", "reel"),
    Key("log_reel", "l", "log", "Log", "The session log, with this reel on the machine", "reel"),
    Key("check", "k", "check", "Check", "Can it be trusted here? All there is to know before the take", "reel"),
    Key("why", "e", "why", "Why", "Why is it not clear? The reasons in plain words, and what to do", "reel"),
    Key("sheet_why", "e", "why", "Why", "What the answer and each reason mean, and what changes them", "check", False),
    Key("wear", "r", "wear", "Response", "Measured wear: response, passes left, cause of a loss, cutting", "reel"),
    Key("inspect", "i", "inspect", "Inspect", "Enter an inspection, point by point", "reel"),
    Key("cut", "b", "cut", "Cut", "Cut tape out, or join it into another reel, seen first", "reel"),
    Key("chart", "f3", "chart", "Chart", "The next chart: over passes, over time, how reels last", "wear"),
    Key("levels", "f2", "levels", "Levels", "Enter the levels of a response check", "wear"),
    Key("severity_0", "0", "rate(0)", "None", "Nothing found there", "inspection", False),
    Key("severity_1", "1", "rate(1)", "Slight", "Slight: seen, and does no harm yet", "inspection", False),
    Key("severity_2", "2", "rate(2)", "Marked", "Marked: it will be heard, or will grow", "inspection", False),
    Key("severity_3", "3", "rate(3)", "Severe", "Severe: nothing is recorded there", "inspection", False),
    Key("wipe_reel", "w", "wipe", "Wipe", "Erase this reel for reuse, in guarded steps", "reel"),
    Key("proof", "p", "proof", "Proof", "What proves each take, what is missing, what would help most", "reel"),
    Key("proof_why", "e", "why", "Why", "Why the recording may not go, and what to do", "proof", False),
    Key("wipe_step", "f2", "step_on", "Go on", "Ask for the permit, enter the wipe, enter what is heard", "wipe"),
    Key("wipe_why", "e", "why", "Why", "Why it may not be wiped: the reasons in plain words, and what to do", "wipe"),
    Key(
        "take_back",
        "u",
        "take_back",
        "Take back",
        "Take back what you entered last, what it changes seen first",
        "reel",
    ),
    Key("void", "u", "void", "Take back", "Void the entry under the cursor, with the reason", "history"),
    Key("take_it_back", "f2", "take_it_back", "Take it back", "Void the entry, with the reason", "taking back"),
    Key("line_up", "up", "move(-1)", "Up", "The reason or entry above", "reasons and history", False),
    Key("line_down", "down", "move(1)", "Down", "The reason or entry below", "reasons and history", False),
    Key("lines_up", "pageup", "move(-8)", "Page up", "Some reasons or entries up", "reasons and history", False),
    Key("lines_down", "pagedown", "move(8)", "Page down", "Some reasons or entries down", "reasons and history", False),
    Key("line_first", "home", "to_end(-1)", "First", "The first reason or entry", "reasons and history", False),
    Key("line_last", "end", "to_end(1)", "Last", "The last reason or entry", "reasons and history", False),
    Key("on_map", "enter", "choose", "On the map", "Put the map's cursor where it lies", "reasons and history"),
    Key("roll", "space,enter", "roll", "Start/stop", "Start a take, or end the one that runs", "machine"),
    Key("mark", "m", "mark", "Mark", "Mark the place the tape is at", "machine"),
    Key("name", "t", "name", "Title", "Give the take another title: Title, or Title/3", "machine"),
    Key("next_take", "x", "next_take", "Next", "End the take and start the next: the tape rolls on", "machine"),
    Key("false_start", "f", "false_start", "False start", "End the take as a false start", "machine"),
    Key("counter", "g", "counter", "Go to", "Type where the tape stands, or where the take ended", "machine"),
    Key("planned", "f3", "planned", "Plan", "The takes to come: 9:00 x3, 4:30", "session log"),
    Key("set_up", "f4", "set_up", "Set up", "Project, speed, tracks with their names, machine", "session log"),
    Key("overdubs", "f5", "overdubs", "Overdubs", "A day of overdubs in one line", "session log"),
    Key("played", "f6", "played", "Played", "The newest take was played back once more", "session log"),
    Key("to_do", "f7", "to_do", "To do", "What is left to do with the reels used today", "session log"),
    Key("takes_up", "up", "scroll_takes(-1)", "Up", "Earlier takes", "session log", False),
    Key("takes_down", "down", "scroll_takes(1)", "Down", "Later takes", "session log", False),
    Key("save_text", "f2", "save_text", "Save as text", "Save what is on the screen as a text file", "copying"),
    Key("forget", "f8", "forget", "Throw away", "Throw away what was left unfinished, and begin anew", "draft", False),
    Key("enter_it", "f2", "enter_it", "Enter it", "Enter what the form says", "entry form"),
)


def bindings(*places: str) -> list[Binding | tuple[str, str] | tuple[str, str, str]]:
    """The bindings of some places."""
    return [key_binding(key.id) for key in KEYS if key.where in places]


def key_binding(id: str) -> Binding:
    """The binding of one key, for a screen that gives it a meaning of its own."""
    (key,) = (key for key in KEYS if key.id == id)
    return Binding(key.key, key.action, key.words, show=key.shown, id=key.id, tooltip=key.tooltip)
