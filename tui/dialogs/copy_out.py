"""What is on the screen, taken along: to the clipboard, a file, a picture, a paper, a printer."""

from __future__ import annotations

from pathlib import Path
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, OptionList, Static
from textual.widgets.option_list import Option

from stock.core.moments import datetime_of
from stock.desk import reports
from stock.desk.reports import FileIsThere, Report
from stock.edge.visible import safe
from tui.dialogs.ask_line import AskLine
from tui.dialogs.confirm import Confirm
from tui.keys import bindings, key_binding
from tui.work import WorkingModal, WorkingScreen

_ENDINGS = {"text": "txt", "picture": "svg", "pdf": "pdf"}


class CopyOut(WorkingModal[None]):
    """Asks where a report goes, and brings it there. picture: the screen as SVG."""

    BINDINGS: ClassVar = [*bindings("copying"), key_binding("back")]
    DEFAULT_CSS = """
    CopyOut #box { width: 72; height: auto; padding: 1 2; background: $surface; }
    CopyOut #title { height: auto; padding: 0 0 1 0; }
    CopyOut OptionList { height: auto; border: none; padding: 0; background: $surface; }
    CopyOut OptionList:focus { border: none; }
    CopyOut #buttons { height: 1; margin-top: 1; }
    CopyOut Button { margin-right: 2; }
    """

    def __init__(self, report: Report, picture: str) -> None:
        super().__init__()
        self._report = report
        self._picture = picture

    @classmethod
    def show_on(cls, screen: WorkingScreen[Any], report: Report, picture: str) -> None:
        """Ask, unless the screen was left meanwhile."""
        if screen.is_current:
            screen.app.push_screen(cls(report, picture))

    def compose(self) -> ComposeResult:
        program = reports.printer()
        printing = (
            f"Print with {Path(program).name}" if program else "Print: no program for it here; PDF can be printed"
        )
        choices = {
            "copy": "Copy to the clipboard (some terminals refuse: then save it)",
            "text": "Save as a text file",
            "picture": "Save as a picture of the screen (SVG)",
            "pdf": "Save as PDF",
            "print": printing,
        }
        with Vertical(id="box"):
            about = f"   all of it, {reports.words_of(self._report.lines)} as text"
            yield Static(Content.assemble((safe(self._report.title), "bold"), (about, "$quiet")), id="title")
            yield OptionList(*(Option(Content(words), id=name) for name, words in choices.items()))
            with Horizontal(id="buttons"):
                yield Button("F2 Save as text", id="save", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self._take(event.option.id or "")

    @on(Button.Pressed, "#save")
    def action_save_text(self) -> None:
        """Save it as a text file."""
        self._take("text")

    def _take(self, way: str) -> None:
        report = self._report
        if way == "copy":
            self.app.copy_to_clipboard(reports.text_of(report))
            self._done("Copied. If nothing can be pasted, this terminal refused: save it as a text file.")
        elif way == "print":
            self.ask(lambda: reports.print_out(report), lambda _: self._done("Handed to the printer."))
        else:
            self._ask_name(way, reports.file_name(report.title, _ENDINGS[way]))

    def _ask_name(self, way: str, name: str) -> None:
        ask = AskLine("Save as", f"a file; without a folder it is in {Path.cwd()}", typed=name, do_it="Save")
        self.app.push_screen(ask, lambda typed: self._save(way, typed) if typed else None)

    def _save(self, way: str, name: str, *, replace: bool = False) -> None:
        path, desk, report, picture = Path(name), self.desk, self._report, self._picture

        def save() -> None:
            if way == "pdf":
                content = reports.as_pdf(report, datetime_of(desk.now_us()))
            else:
                content = (picture if way == "picture" else reports.text_of(report)).encode()
            reports.save(path, content, replace=replace)

        def failed(error: BaseException) -> None:
            if not isinstance(error, FileIsThere):
                self.trouble(error)
                return
            question = f"{path} is there already. Replace it?"
            self.app.push_screen(
                Confirm(question, "Replace it"), lambda yes: self._save(way, name, replace=True) if yes else None
            )

        self.ask(save, lambda _: self._done(f"Saved: {path.expanduser().absolute()}"), instead=failed)

    def _done(self, words: str) -> None:
        self.app.notify(safe(words), markup=False)
        if self.is_current:
            self.dismiss(None)

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        """Leave it where it is."""
        self.dismiss(None)
