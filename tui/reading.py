"""Screens that have copies read from end to end: they show how far it is, and stop it when they are left."""

from __future__ import annotations

from threading import Event
from typing import TYPE_CHECKING, TypeVar, cast

from textual import on
from textual.message import Message

from stock.proof.facts import Progress
from tui.present.reading import progress_words
from tui.work import WorkingScreen

if TYPE_CHECKING:
    from tui.app import ReelwardApp

R = TypeVar("R")


class Told(Message):
    """How far a reading is."""

    def __init__(self, progress: Progress) -> None:
        super().__init__()
        self.progress = progress


class ReadingScreen(WorkingScreen[R]):
    """The base of screens whose work reads copies: `told` and `stopped` are handed to the reading."""

    def __init__(self) -> None:
        super().__init__()
        self._stop = Event()

    def told(self, progress: Progress) -> None:
        """Take how far the reading is; for its thread."""
        self.post_message(Told(progress))

    def stopped(self) -> bool:
        """Whether the reading is to stop; for its thread."""
        return self._stop.is_set() or cast("ReelwardApp", self.app).leaving.is_set()

    def stop_reading(self) -> None:
        """Have the reading stop: it records nothing, and goes on from there the next time."""
        self._stop.set()

    def may_read(self) -> None:
        """Let the next reading begin."""
        self._stop.clear()

    def on_unmount(self) -> None:
        self._stop.set()

    @on(Told)
    def _on_told(self, message: Told) -> None:
        message.stop()
        self.show_progress(progress_words(message.progress))

    def show_progress(self, words: str) -> None:
        """Show how far the reading is."""
        raise NotImplementedError
