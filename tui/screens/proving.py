"""Proving one copy: where its files are, the reading with its progress, and the report."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Select, Static

from stock.core.take_proof import Action, TransferState
from stock.desk.errors import CannotEnter
from stock.desk.listening import ToHear, to_hear
from stock.desk.proving import Proved, prove
from stock.edge.file_tracks import files_tracks
from stock.edge.problems import CellError
from stock.edge.visible import safe
from tui.dialogs.folder import FolderDialog, starting_folder
from tui.dialogs.listen import ListenDialog
from tui.explaining import open_sheet, why_of_said
from tui.keys import bindings, key_binding
from tui.present.copies import report_lines
from tui.reading import ReadingScreen
from tui.widgets.form_row import FormRow
from tui.widgets.lines import KeyLine
from tui.widgets.page import Page
from tui.widgets.tick import Tick
from tui.widgets.typed import Typed

_PLACES = (("here, in this house", "here"), ("elsewhere", "elsewhere"))


class CopyAsked(NamedTuple):
    """The copy to prove as far as it is known: empty texts are asked for."""

    transfer: str
    copy: str = ""
    medium: str = ""
    place: str = ""
    folder: str = ""


class ProvingScreen(ReadingScreen[None]):
    """One copy of a transfer. What is typed stays, so that a refused reading can be asked for again."""

    AUTO_FOCUS = ""
    BINDINGS: ClassVar = [*bindings("proving"), key_binding("back")]
    CSS = """
    ProvingScreen #title { height: 1; padding: 0 1; }
    ProvingScreen #form { height: auto; padding: 0 1; margin-top: 1; }
    ProvingScreen .label { width: 14; }
    ProvingScreen FormRow Typed { width: 1fr; margin-right: 0; }
    ProvingScreen .place { height: 1; }
    ProvingScreen .place .label { width: 14; }
    ProvingScreen Select { width: 30; }
    ProvingScreen SelectCurrent { background: $panel; }
    ProvingScreen #own_medium { margin-left: 14; }
    ProvingScreen #foot { height: 1; padding: 0 1; margin-top: 1; }
    ProvingScreen Button { margin-right: 2; }
    ProvingScreen #listen { display: none; }
    ProvingScreen.-passed #listen { display: block; }
    ProvingScreen #why { display: none; }
    ProvingScreen.-remarks #why { display: block; }
    ProvingScreen #progress { height: 1; padding: 0 1; margin-top: 1; color: $accent; display: none;
        text-wrap: nowrap; text-overflow: ellipsis; }
    ProvingScreen #error { height: auto; padding: 0 1; margin-top: 1; color: $error; display: none; }
    ProvingScreen Page { height: 1fr; padding: 0 1; margin-top: 1; }
    """

    def __init__(self, asked: CopyAsked) -> None:
        super().__init__()
        self._asked = asked
        self._busy = False
        self._folder: Path | None = None
        self.proved: Proved | None = None
        self._known: ToHear | None = None

    def compose(self) -> ComposeResult:
        asked = self._asked
        known = f", copy {safe(asked.copy)}" if asked.copy else ""
        yield Static(Content.assemble(("Prove transfer ", ""), (f"{safe(asked.transfer)}{known}", "bold")), id="title")
        with Vertical(id="form"):
            yield FormRow("folder", "folder", value=asked.folder, example="F3 shows the folders there are")
            yield FormRow("medium", "medium", value=asked.medium, example="the disk, card or store it is on")
            with Horizontal(classes="place"):
                yield Static("place", classes="label")
                value = asked.place if asked.place in ("here", "elsewhere") else Select.NULL
                yield Select(_PLACES, prompt="choose", value=value, compact=True, id="place")
            yield FormRow("copy", "copy", value=asked.copy, example="its name; else the medium's")
            yield FormRow("tracks", "tracks", example="where names do not tell: lead.wav=14; drums.wav=1,2")
            yield Tick("a medium of its own, though beside another copy: my word", id="own_medium")
        with Horizontal(id="foot"):
            yield Button("F2 Prove it", id="prove", variant="primary", compact=True)
            yield Button("F3 Folders", id="folders", compact=True)
            yield Button("F4 Listen", id="listen", compact=True)
            yield Button("F5 Why", id="why", compact=True)
            yield Button("Esc Leave it", id="leave", compact=True)
        yield Static("", id="progress")
        yield Static("", id="error")
        yield Page(id="report")
        yield KeyLine("proving", back=True)

    def on_mount(self) -> None:
        self.query_one("#prove" if self._asked.folder else "#folder").focus()
        self.anew()
        self.keep_watch()

    @property
    def holds_still(self) -> bool:
        return self._busy

    def anew(self) -> None:
        """See that the transfer is there still; what is typed, and what was read, stays."""
        desk, transfer = self.desk, self._asked.transfer
        self.read(lambda: to_hear(desk, transfer), self._there, instead=self._not_there)

    def _there(self, asked: ToHear) -> None:
        if self._known is not None and self.proved is not None:
            self._complain("Somebody entered something since this was read.")
        self._known = asked

    def _not_there(self, error: BaseException) -> None:
        self._complain(f"{error}. {getattr(error, 'remedy', '')}".strip())

    def _text(self, name: str) -> str:
        return self.query_one(f"#{name}", Typed).value.strip()

    @on(Typed.Submitted)
    def _next(self) -> None:
        self.focus_next(Typed)

    @on(Button.Pressed, "#folders")
    def action_folders(self) -> None:
        """Pick the folder from those there are."""
        self.app.push_screen(FolderDialog(starting_folder(self._text("folder"))), self._picked)

    def _picked(self, folder: Path | None) -> None:
        if folder is not None:
            self._folder = folder
            self.query_one("#folder", Typed).value = str(folder)

    def _chosen(self) -> Path:
        """The folder as typed, or as picked: a name may hold what no field shows as it is."""
        text = self.query_one("#folder", Typed).value
        if self._folder is not None and text == safe(str(self._folder)):
            return self._folder
        return Path(text.strip()).expanduser()

    @on(Button.Pressed, "#prove")
    def action_prove(self) -> None:
        """Read the copy, if all that is needed is said; twice at once is once."""
        if self._busy:
            return
        place = self.query_one("#place", Select).value
        wanting = [name for name in ("folder", "medium") if not self._text(name)]
        wanting += ["place"] if place is Select.NULL else []
        if wanting:
            self._complain(f"say its {', '.join(wanting)} first")
            self.query_one(f"#{wanting[0]}").focus()
            return
        try:
            mapping = files_tracks(self._text("tracks"))
        except CellError as error:
            self._complain(str(error))
            self.query_one("#tracks").focus()
            return
        desk, transfer = self.desk, self._asked.transfer
        folder, medium, copy = self._chosen(), self._text("medium"), self._text("copy") or None
        is_own = self.query_one("#own_medium", Tick).value
        self._busy = True
        self.may_read()
        self._complain("")
        self.show_progress("opening the folder …")
        self.query_one("#report", Page).show([])
        self.ask(
            lambda: prove(
                desk, transfer, folder, medium=medium, place=str(place), copy=copy, mapping=mapping or None,
                own_medium=is_own, told=self.told, stop=self.stopped,
            ),
            self._read,
            instead=self._refused,
        )  # fmt: skip

    def _read(self, proved: Proved) -> None:
        self._busy = False
        self.proved, self._known = proved, None
        self.anew()
        self.show_progress("")
        self.set_class(proved.report.passed, "-passed")
        self.set_class(bool(proved.report.remarks), "-remarks")
        self.query_one("#report", Page).show(report_lines(proved))
        untold = [found.path for found in proved.report.remarks if found.code == "track-unknown" and found.path]
        if untold and not self._text("tracks"):
            self.query_one("#tracks", Typed).value = "; ".join(f"{path}=" for path in untold)
            self.query_one("#tracks").focus()
        elif proved.report.passed:
            self.query_one("#listen").focus()

    def _refused(self, error: BaseException) -> None:
        self._busy = False
        self.show_progress("")
        if isinstance(error, CannotEnter):
            self._complain("; ".join(f"{problem.column}: {problem.says}" for problem in error.problems))
        else:
            self._complain(f"{error}. {getattr(error, 'remedy', '')}".strip())

    def _complain(self, words: str) -> None:
        error = self.query_one("#error", Static)
        error.update(Content(safe(words)))
        error.display = bool(words)

    def show_progress(self, words: str) -> None:
        if words and not self._busy:
            return
        progress = self.query_one("#progress", Static)
        progress.update(Content(f"Esc stops it   {words}"))
        progress.display = bool(words)

    @on(Button.Pressed, "#why")
    def action_why(self) -> None:
        """Explain what was found in the files, once they were read."""
        if self.proved is None or not self.proved.report.remarks:
            self.app.notify("Nothing is found in the files so far.", severity="warning", markup=False)
            return
        from tui.present.sheet import remarks_said

        remarks = self.proved.report.remarks
        title = f"Transfer {self._asked.transfer}: what was found in the files"
        open_sheet(self, why_of_said(self.desk, title, lambda: remarks_said(remarks)))

    @on(Button.Pressed, "#listen")
    def action_listen(self) -> None:
        """Enter that somebody has heard the files."""
        if self._busy:
            return
        desk, transfer = self.desk, self._asked.transfer
        self.ask(lambda: to_hear(desk, transfer), self._ask_listen)

    def _ask_listen(self, asked: ToHear) -> None:
        self.app.push_screen(ListenDialog(asked), self._heard)

    def _heard(self, entry: int | None) -> None:
        if entry is not None:
            self.notify(f"The listen is entered as number {entry}.", markup=False)

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        """Stop a reading that is under way; else leave."""
        if self._busy and not self.stopped():
            self.stop_reading()
        else:
            self.dismiss(None)


def asked_of(state: TransferState, action: Action | None) -> CopyAsked:
    """The form of the copy that would help a transfer most: one that is there, or a new one."""
    name = state.transfer.transfer
    for each in state.copies:
        if action is not None and each.copy.copy == action.copy:
            return CopyAsked(name, each.copy.copy, each.copy.medium, each.copy.place)
    return CopyAsked(name)
