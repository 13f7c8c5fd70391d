"""The house rules: every limit with its value, its default, its reason and who set it; one can be changed."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from stock.core.rule_groups import GROUPS, Group
from tui.keys import bindings, key_binding
from tui.place import PlaceLine, PlaceScreen
from tui.present.house_rules import detail_lines, group_line, head_line, page_lines, rule_line, summary
from tui.present.line import clip
from tui.present.row import Piece
from tui.widgets.heading import Lines
from tui.widgets.inked import inked
from tui.widgets.lines import KeyLine, PartsLine

if TYPE_CHECKING:
    from stock.desk.house_rules import RuleLine
    from stock.desk.reports import Report


class GroupLine(PartsLine[Group]):
    """The groups; a click goes to one."""

    BETWEEN = 1

    class Picked(Message):
        def __init__(self, group: Group) -> None:
            super().__init__()
            self.group = group

    def report_lines(self, width: int) -> list[str]:
        """Nothing: it only leads to what is told below it."""
        return []

    def chosen(self, value: Group) -> None:
        self.post_message(self.Picked(value))


class RulesScreen(PlaceScreen):
    """Rules group by group; all about the one under the cursor below them."""

    AUTO_FOCUS = "#rules"
    BINDINGS: ClassVar = [*bindings("rules"), key_binding("back")]
    DEFAULT_CSS = """
    RulesScreen #summary { height: 1; margin: 0 1; color: $quiet; }
    RulesScreen #head { height: 1; margin: 0 1; text-wrap: nowrap; }
    RulesScreen OptionList { height: 1fr; min-height: 4; border: none; padding: 0; margin: 0 1;
        background: $background; scrollbar-size-vertical: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    RulesScreen OptionList:focus { border: none; background-tint: $background 0%; }
    RulesScreen OptionList > .option-list--option-disabled { color: $foreground; }
    RulesScreen OptionList > .option-list--option-highlighted,
    RulesScreen OptionList:focus > .option-list--option-highlighted {
        background: $panel; color: $foreground; text-style: bold;
    }
    RulesScreen VerticalScroll { height: 6; padding: 0 1; background: $surface; scrollbar-size-vertical: 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._lines: list[RuleLine] = []
        self._rows: list[RuleLine | Group] = []
        self._only_changed = False

    def compose(self) -> ComposeResult:
        yield PlaceLine("rules")
        yield GroupLine()
        yield Static("", id="summary")
        yield Static("", id="head")
        yield OptionList(id="rules", compact=True)
        with VerticalScroll(can_focus=False):
            yield Lines(id="detail")
        yield KeyLine("rules", back=True)

    def opened(self) -> None:
        self.query_one("#detail", Lines).one_line_each = False
        self.anew()
        self.keep_watch()

    def anew(self) -> None:
        from stock.desk.house_rules import rule_lines

        desk = self.desk
        self.read(lambda: rule_lines(desk)[1], self._show)

    def on_resize(self) -> None:
        if self._lines:
            self._fill()

    # showing

    def _show(self, lines: list[RuleLine]) -> None:
        self._lines = lines
        self._fill()

    def _fill(self) -> None:
        """List the rules; the cursor stays on its rule."""
        listed = self.query_one(OptionList)
        under = self._line
        width = max(self.size.width - 3, 40)
        self.query_one("#head", Static).update(inked(head_line(width)))
        said = summary(self._lines) + (": only those are shown" if self._only_changed else "")
        self.query_one("#summary", Static).update(Content(said))
        self._rows = []
        for group in GROUPS:
            own = [line for line in self._lines if line.group == group and (line.changed or not self._only_changed)]
            self._rows += [group, *own] if own else []
        with self.prevent(OptionList.OptionHighlighted):
            listed.clear_options()
            listed.add_options(
                Option(inked(clip(group_line(row), width)), disabled=True)
                if isinstance(row, Group)
                else Option(inked(rule_line(row, width)))
                for row in self._rows
            )
            rules = [at for at, row in enumerate(self._rows) if not isinstance(row, Group)]
            kept = [at for at in rules if under is not None and _name(self._rows[at]) == under.rule.name]
            listed.highlighted = next(iter(kept or rules), None)
        self._tell()

    @property
    def _line(self) -> RuleLine | None:
        at = self.query_one(OptionList).highlighted
        row = self._rows[at] if at is not None and at < len(self._rows) else None
        return None if isinstance(row, Group) else row

    @on(OptionList.OptionHighlighted)
    def _tell(self) -> None:
        line = self._line
        self.query_one("#detail", Lines).show([] if line is None else detail_lines(line))
        self.query_one(VerticalScroll).scroll_home(animate=False)
        here = None if line is None else line.group
        self.query_one(GroupLine).show(
            [
                ((Piece(group.name.capitalize(), "chosen" if group == here else "quiet"),), group)
                for group in GROUPS
                if group in self._rows
            ]
        )

    def report(self) -> Report:
        from stock.desk.reports import Report

        return Report(self.report_title(), tuple(page_lines(self._lines)))

    # moving and changing

    def _to(self, group: Group) -> None:
        listed = self.query_one(OptionList)
        at = self._rows.index(group)
        listed.highlighted = at + 1
        listed.scroll_to(y=at, animate=False)
        listed.focus()

    @on(GroupLine.Picked)
    def _picked(self, message: GroupLine.Picked) -> None:
        if message.group in self._rows:
            self._to(message.group)

    def action_group(self, by: int) -> None:
        """To the first rule of the group before or after."""
        line = self._line
        if line is not None:
            groups = [row for row in self._rows if isinstance(row, Group)]
            self._to(groups[(groups.index(line.group) + by) % len(groups)])

    def action_changed(self) -> None:
        """Only the rules that are not at their default, or all."""
        self._only_changed = not self._only_changed
        self._fill()

    @on(OptionList.OptionSelected)
    def action_change(self) -> None:
        """Change the rule under the cursor."""
        from tui.dialogs.rule import RuleDialog

        line = self._line
        if line is not None:
            self.app.push_screen(RuleDialog(line), self._set)

    def _set(self, entry: int | None) -> None:
        if entry is not None:
            self.app.notify(f"The rule is set: entry {entry}.", markup=False)
            self.anew()


def _name(row: RuleLine | Group) -> str:
    return "" if isinstance(row, Group) else row.rule.name
