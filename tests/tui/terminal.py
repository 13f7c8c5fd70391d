"""A terminal of our own to run the program in: what it writes is read, keys are sent as a terminal sends them."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Mapping, Sequence

DOWN, UP, PAGE_DOWN, PAGE_UP, HOME, END = b"\x1b[B", b"\x1b[A", b"\x1b[6~", b"\x1b[5~", b"\x1b[H", b"\x1b[F"


class Terminal:
    """A Python program in a pseudo-terminal of a size in columns and lines."""

    def __init__(
        self, code: str, *args: str, size: tuple[int, int] = (120, 40), env: Mapping[str, str] | None = None
    ) -> None:
        self.master, slave = pty.openpty()
        self.slave = slave
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
        self.settings_before = termios.tcgetattr(slave)
        self.started = time.perf_counter()
        self.process = subprocess.Popen(
            [sys.executable, "-c", code, *args],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            start_new_session=True,
            env={**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor", **(env or {})},
        )
        self.output = b""

    def read_until(self, pattern: bytes, at_most_s: float = 60) -> float:
        """Read on until what was written since the last call matches; gives the moment of that.

        TimeoutError, with what was read, where it does not come.
        """
        fresh = b""
        end = time.perf_counter() + at_most_s
        while (left := end - time.perf_counter()) > 0:
            if select.select([self.master], [], [], left)[0]:
                try:
                    piece = os.read(self.master, 1 << 16)
                except OSError:  # the program has closed its side
                    piece = b""
                if not piece:
                    break
                fresh += piece
                self.output += piece
                if re.search(pattern, fresh):
                    return time.perf_counter()
        raise TimeoutError(fresh[-2000:])

    def read_rest(self, quiet_s: float = 0.02) -> None:
        """Read until nothing has been written for a while, or the other side is closed."""
        while select.select([self.master], [], [], quiet_s)[0]:
            try:
                piece = os.read(self.master, 1 << 16)
            except OSError:
                return
            if not piece:
                return
            self.output += piece

    def send(self, keys: bytes) -> float:
        """Send bytes as a terminal would; gives the moment."""
        start = time.perf_counter()
        os.write(self.master, keys)
        return start

    def end(self, at_most_s: float = 60) -> int:
        """Wait for the program to end, reading what it writes; gives its exit status, negative for a signal's kill."""
        end = time.perf_counter() + at_most_s
        while self.process.poll() is None and time.perf_counter() < end:
            self.read_rest(0.05)
        self.read_rest()
        return self.process.wait(0.1)

    def settings(self) -> Sequence[object]:
        """The terminal's settings as they are now."""
        return termios.tcgetattr(self.slave)

    def signal(self, number: signal.Signals) -> None:
        """Send the program a signal."""
        self.process.send_signal(number)

    def close(self) -> None:
        """Let go of the terminal, and of a program that still runs in it."""
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        os.close(self.master)
        os.close(self.slave)
