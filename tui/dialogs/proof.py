"""What proves each take of a reel, and the one action that would help most."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, OptionList, Static
from textual.widgets.option_list import Option

from stock.core.take_proof import TakeProof
from stock.edge.visible import safe
from tui.explaining import open_sheet, why_of_reel
from tui.keys import key_binding
from tui.present.copies import take_lines
from tui.present.line import wrap
from tui.widgets.inked import inked
from tui.work import WorkingModal

_AROUND = 9
"""Cells of the dialog's own borders beside its list."""


class ProofDialog(WorkingModal[TakeProof]):
    """Gives the take whose action is to be done, or None. again: reads the takes, in a thread, to keep them up."""

    BINDINGS: ClassVar = [key_binding("proof_why"), key_binding("back")]
    CSS = """
    ProofDialog #box { width: 92%; height: auto; max-height: 96%; padding: 1 2; background: $surface; }
    ProofDialog OptionList { height: auto; background: $surface; border: none; padding: 0; margin: 1 0; }
    ProofDialog OptionList { scrollbar-size-vertical: 1; }
    ProofDialog #foot { height: 1; }
    ProofDialog Button { margin-right: 2; }
    ProofDialog OptionList > .option-list--option-highlighted { background: $panel; color: $foreground; }
    """

    def __init__(self, reel: str, takes: Sequence[TakeProof], again: Callable[[], Sequence[TakeProof]]) -> None:
        super().__init__()
        self._again = again
        self._reel = reel
        self._takes = takes

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            says = "Enter does what would help most" if self._takes else "nothing is recorded on it"
            yield Static(
                Content.assemble((f"Proof of what is on {safe(self._reel)}", "bold"), (f"   {says}", "$quiet"))
            )
            yield OptionList(id="takes", compact=True)
            with Horizontal(id="foot"):
                yield Button("e Why", id="why", compact=True)
                yield Button("Esc Close", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()
        self.anew()
        self.keep_watch()

    def anew(self) -> None:
        self.read(self._again, self._show)

    def _show(self, takes: Sequence[TakeProof]) -> None:
        if [*takes] != [*self._takes]:
            self._takes = takes
            self.on_resize()

    def on_resize(self) -> None:
        options = self.query_one(OptionList)
        options.styles.max_height = max(self.size.height - 8, 4)
        width = self.size.width * 92 // 100 - _AROUND
        at = options.highlighted
        options.clear_options()
        for take in self._takes:
            lines = [line for each in take_lines(take) for line in wrap(each, width, 6)]
            options.add_option(Option(Content("\n").join(map(inked, lines))))
        options.highlighted = min(at or 0, len(self._takes) - 1) if self._takes else None

    @on(OptionList.OptionSelected)
    def _take(self, message: OptionList.OptionSelected) -> None:
        take = self._takes[message.option_index]
        if take.action is not None and take.action.code in ("read", "copy", "listen"):
            self.dismiss(take)
        elif take.action is not None:
            self.notify(safe(f"{take.action.says}: that is not done from here."), markup=False)

    @on(Button.Pressed, "#why")
    def action_why(self) -> None:
        """Explain why the recording may not go, in plain words, and what to do."""
        open_sheet(self, why_of_reel(self.desk, self._reel))

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
