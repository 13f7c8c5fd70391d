"""Whether a transfer is proved, and what it lacks (the house's rules for transfers, listens, copies and checks)."""

from __future__ import annotations

from .book import Book
from .texts import Row, same_words


def copy_fault(book: Book, transfer: Row, copy: Row) -> str | None:
    """The code of what is wrong with a copy, or None when it is good."""
    made = book.moment(transfer).start
    failed = []  # moments: a failed check binds, so it counts at the end of its day
    passed = []  # (moment, row): a passed check loosens, so it counts at the start of its day
    for check in book.rows("copy_checks.csv"):
        if (check["transfer"], check["copy"]) != (copy["transfer"], copy["copy"]):
            continue
        # Only checks not before the transfer count.
        if check["result"] == "fail" and book.moment(check).end >= made:
            failed.append(book.moment(check).end)
        if check["result"] == "pass" and book.moment(check).start >= made:
            passed.append((book.moment(check).start, check))
    if not failed and not passed:
        return "copy-unchecked"
    # The latest check, of tied ones a failed one.
    if failed and all(moment <= max(failed) for moment, _ in passed):
        return "copy-check-failed"
    real = [
        (moment, check)
        for moment, check in passed
        if check["method"] == "read" and check.get("manifest_sha256") and all(moment > bad for bad in failed)
    ]
    if not real:
        return "copy-only-stated"
    newest_age = min(book.age_days(check) for _, check in real)
    return None if newest_age <= int(book.rule("copy_check_days")) else "copy-check-old"


def copy_faults(book: Book, transfer: Row) -> set[str]:
    """The codes of all bad copies of a transfer."""
    return {
        fault
        for copy in book.rows("copies.csv")
        if copy["transfer"] == transfer["transfer"] and (fault := copy_fault(book, transfer, copy)) is not None
    }


def cooling_days(book: Book, project: str | None) -> int:
    """Days a transfer must be old: the project's own, 0 when it records through into files, else the house's."""
    for row in book.rows("projects.csv"):
        if row["project"] == project:
            if row.get("cool_days"):
                return int(row["cool_days"])
            if row.get("mode") == "through":
                return 0
    return int(book.rule("cooling_days"))


def lacks(book: Book, transfer: Row, project: str | None) -> set[str]:
    """Why a transfer is not proved for a project; empty when it is proved."""
    codes: set[str] = set()
    if int(transfer["sample_rate_hz"]) < int(book.rule("minimum_rate_hz")):
        codes.add("format-too-low")
    if int(transfer["bit_depth"]) < int(book.rule("minimum_bits")):
        codes.add("format-too-low")
    # A named person heard it, strictly after it was made.
    made = book.moment(transfer).start
    listens = [row for row in book.rows("listens.csv") if row["transfer"] == transfer["transfer"] and row.get("by")]
    if not any(book.moment(listen).start > made for listen in listens):
        codes.add("not-heard")
    if book.age_days(transfer) < cooling_days(book, project):
        codes.add("cooling-off")
    good = []
    for copy in book.rows("copies.csv"):
        if copy["transfer"] == transfer["transfer"] and copy_fault(book, transfer, copy) is None:
            good.append(copy)
    if len(good) < int(book.rule("copies_needed")):
        codes.add("too-few-copies")
    media = {same_words(copy["medium"]) for copy in good} - {""}
    if len(media) < int(book.rule("media_needed")):
        codes.add("one-medium")
    if sum(copy["place"] == "elsewhere" for copy in good) < int(book.rule("elsewhere_needed")):
        codes.add("none-elsewhere")
    return codes
