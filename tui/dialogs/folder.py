"""Pick the folder of a copy from the folders there are."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any, ClassVar

from rich.style import Style
from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, DirectoryTree, Static

from stock.edge.visible import safe
from tui.keys import bindings, key_binding
from tui.work import WorkingModal


class Folders(DirectoryTree):
    """The folders under one, files and hidden folders left out; names obey nothing."""

    ICON_NODE = "▸ "
    ICON_NODE_EXPANDED = "▾ "

    def filter_paths(self, paths: Iterable[Path]) -> Iterable[Path]:
        return [path for path in paths if not path.name.startswith(".") and _is_folder(path)]

    def render_label(self, node: Any, base_style: Style, style: Style) -> Text:
        icon = self.ICON_NODE_EXPANDED if node.is_expanded else self.ICON_NODE
        return Text(icon, base_style) + Text(safe(str(node.label)), style)


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except OSError:
        return False


def starting_folder(typed: str) -> Path:
    """Where to begin to look: the nearest folder there is to what was typed, else where media are mounted."""
    if typed.strip():
        path = Path(typed.strip()).expanduser().absolute()
        return next((each for each in (path, *path.parents) if _is_folder(each)), Path("/"))
    mounted = [path for path in (Path("/media"), Path("/run/media"), Path("/mnt")) if _is_folder(path)]
    filled = [path for path in mounted if any(path.iterdir())]
    return (filled or [Path.home()])[0]


class FolderDialog(WorkingModal[Path]):
    """Gives a folder, or None."""

    BINDINGS: ClassVar = [*bindings("folders"), key_binding("back")]
    CSS = """
    FolderDialog #box { width: 76; height: 90%; padding: 1 2; background: $surface; }
    FolderDialog #where { color: $quiet; height: 1; text-wrap: nowrap; text-overflow: ellipsis; margin-bottom: 1; }
    FolderDialog Folders { height: 1fr; background: $surface; scrollbar-size-vertical: 1; padding: 0; }
    FolderDialog #buttons { height: 1; margin-top: 1; }
    FolderDialog Button { margin-right: 2; }
    """

    def __init__(self, start: Path) -> None:
        super().__init__()
        self._start = start

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static("Which folder holds the copy's files?")
            yield Static("", id="where")
            yield Folders(self._start, id="folders")
            with Horizontal(id="buttons"):
                yield Button("F2 This folder", id="take", variant="primary", compact=True)
                yield Button("F3 The folder above", id="up", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one(Folders).focus()
        self._say(self._start)

    def _say(self, path: Path) -> None:
        self.query_one("#where", Static).update(Content(safe(str(path))))

    @property
    def chosen(self) -> Path:
        """The folder under the cursor."""
        node = self.query_one(Folders).cursor_node
        return Path(node.data.path) if node is not None and node.data is not None else self._start

    @on(Folders.NodeHighlighted)
    def _point(self) -> None:
        self._say(self.chosen)

    @on(Button.Pressed, "#take")
    def action_take(self) -> None:
        self.dismiss(self.chosen)

    @on(Button.Pressed, "#up")
    def action_up(self) -> None:
        tree = self.query_one(Folders)
        tree.path = Path(tree.path).absolute().parent
        self._start = Path(tree.path)
        self._say(self._start)

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
