"""The proof of a copy: every file of its folder read from end to end, and held against the record of the transfer."""

from __future__ import annotations

import threading
import time
from collections import deque
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from pathlib import Path

from stock.edge.visible import safe
from stock.proof.bag import library_remarks
from stock.proof.bagrules import BagRules, bag_rules
from stock.proof.errors import NotReachable
from stock.proof.expectation import Expectation
from stock.proof.facts import FileFacts, Progress, Remark, Report
from stock.proof.files import Entry, Folder
from stock.proof.judging import judge
from stock.proof.manifest import PAYLOAD, manifest_of
from stock.proof.naming import Tracks, assign
from stock.proof.reading import FileResult, Stopped, read_file
from stock.proof.remarks import remark
from stock.proof.resume import Unfinished

_LANES = 2
"""Files read at once: decoding takes longer than hashing, so one file alone leaves a processor waiting."""

_LOOK_S = 0.1
_SAVE_EVERY_BYTES = 1 << 30


def examine(
    folder: Path,
    expectation: Expectation,
    *,
    mapping: Mapping[str, Tracks] | None = None,
    told: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
    resume: Path | None = None,
) -> Report:
    """Prove the copy in a folder, a bag or a plain one.

    mapping: a person's word on which tracks a file holds, in the order of its channels, by path. told: called with the
    progress ten times a second and after each file, in this thread. stop: asked as often; True ends the reading.
    resume: a file that keeps what was read when the reading is stopped or killed, and that is taken up by the next
    call; it goes when a reading comes to its end. Raises NotReachable where the folder is not there, or goes while it
    is read: that is no failed check, and no pass. All else that is wrong is a remark of the report.
    """
    began = time.monotonic()
    home = Folder(folder)
    try:
        return _Examination(home, expectation, told, stop, resume, began).run(mapping)
    finally:
        home.close()


class _Examination:
    def __init__(
        self,
        home: Folder,
        expectation: Expectation,
        told: Callable[[Progress], None] | None,
        stop: Callable[[], bool] | None,
        resume: Path | None,
        began: float,
    ) -> None:
        self._home = home
        self._wanted = expectation
        self._told = told
        self._stop = stop
        self._began = began
        self._stopped = threading.Event()
        self._count = threading.Lock()
        self._read_bytes = 0
        self._skipped_bytes = 0
        entries, self._remarks = home.entries()
        self._is_bag = home.is_bag()
        self._rules = bag_rules(home, entries) if self._is_bag else BagRules({}, ())
        self._entries = [entry for entry in entries if not self._is_bag or entry.path.startswith(PAYLOAD)]
        self._total_bytes = sum(entry.stamp.size_bytes for entry in self._entries)
        self._unfinished = Unfinished(resume, home, expectation.limits, self._rules.manifests)

    def run(self, mapping: Mapping[str, Tracks] | None) -> Report:
        results = self._unfinished.load(self._entries)
        self._skipped_bytes = sum(result.stamp.size_bytes for result in results.values())
        try:
            self._read_all(results)
        finally:
            if self._stopped.is_set():
                self._unfinished.save(results.values())
        if any(result.facts is None for result in results.values()) and self._home.gone():
            raise NotReachable(path=safe(str(self._home.path)), says="it went away while it was read")
        if not self._stopped.is_set():
            self._unfinished.drop()
        return self._report(results, mapping)

    def _read_all(self, results: dict[str, FileResult]) -> None:
        """Read every file that has no result yet, two at a time."""
        waiting = deque(entry for entry in self._entries if entry.path not in results)
        running: dict[Future[FileResult], Entry] = {}
        unsaved_bytes = 0
        with ThreadPoolExecutor(_LANES, thread_name_prefix="read") as lanes:
            try:
                while waiting or running:
                    if self._stop is not None and self._stop():
                        self._stopped.set()
                        waiting.clear()
                    while waiting and len(running) < _LANES:
                        entry = waiting.popleft()
                        running[lanes.submit(self._read, entry)] = entry
                    for future in wait(running, _LOOK_S, FIRST_COMPLETED).done:
                        entry = running.pop(future)
                        try:
                            results[entry.path] = future.result()
                        except Stopped:
                            continue
                        unsaved_bytes += entry.stamp.size_bytes
                    if unsaved_bytes >= _SAVE_EVERY_BYTES:
                        self._unfinished.save(results.values())
                        unsaved_bytes = 0
                    self._tell(running.values(), len(results))
            except BaseException:
                # Whatever ends this thread must end those that read, or the program would wait for them.
                self._stopped.set()
                raise

    def _read(self, entry: Entry) -> FileResult:
        return read_file(self._home, entry, self._wanted.limits, self._rules.manifests, self._hashed)

    def _hashed(self, count: int) -> None:
        if self._stopped.is_set():
            raise Stopped
        with self._count:
            self._read_bytes += count

    def _tell(self, running: Iterable[Entry], files_done: int) -> None:
        if self._told is None:
            return
        total = self._total_bytes
        seconds = time.monotonic() - self._began
        left_bytes = max(total - self._skipped_bytes - self._read_bytes, 0)
        left_s = seconds * left_bytes / self._read_bytes if self._read_bytes else None
        path = next((entry.path for entry in running), "")
        done = min(self._skipped_bytes + self._read_bytes, total)
        self._told(Progress(path, files_done, len(self._entries), done, total, left_s))

    def _report(self, results: dict[str, FileResult], mapping: Mapping[str, Tracks] | None) -> Report:
        ordered = [results[entry.path] for entry in self._entries if entry.path in results]
        files = tuple(result.facts for result in ordered if result.facts is not None)
        remarks = [*self._remarks, *self._rules.remarks, *self._unfinished.remarks]
        for result in ordered:
            remarks.extend(result.remarks)
        stopped = self._stopped.is_set()
        if not stopped:
            files, assigned = assign(files, self._wanted.transfer, self._wanted.tracks, mapping)
            remarks.extend((*assigned, *judge(files, self._wanted), *self._bag_remarks(files)))
            if not any(file.format is not None for file in files):
                remarks.append(remark("no-files", "the folder holds no audio file that can be read"))
        failed = any(found.severity == "fail" for found in remarks)
        manifest, digest = manifest_of(files)
        return Report(
            files=files,
            remarks=tuple(remarks),
            passed=not failed and not stopped,
            stopped=stopped,
            is_bag=self._is_bag,
            manifest=manifest,
            manifest_sha256=digest,
            bytes_read=self._read_bytes,
            seconds=time.monotonic() - self._began,
        )

    def _bag_remarks(self, files: tuple[FileFacts, ...]) -> list[Remark]:
        """Files that are not what the bag's manifests say, and what the library finds."""
        if not self._is_bag:
            return []
        found: list[Remark] = []
        for file in files:
            for algorithm, named in self._rules.manifests.items():
                digest = file.sha256 if algorithm == "sha256" else file.digests[algorithm]
                if named.get(file.path, digest) != digest:
                    says = f"{file.path} is not what the bag's manifest of {algorithm} says: the hashes differ"
                    found.append(remark("hash-differs", says, path=file.path))
        if not any(kept.severity == "fail" for kept in (*self._remarks, *self._rules.remarks)):
            found.extend(library_remarks(self._home, hashes=False))
        return found
