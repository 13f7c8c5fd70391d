"""Every kind of fact: its file, its fields in the order of the columns, and how they are stored.

This table is the one place where a fact's fields are named. The entry forms, the command line's options, the exchange
files' columns and the store's tables are all made from it. It is long because the table is, and little else is here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

Cell = Literal[
    "text",  # free words
    "name",  # a name others refer to: a reel, a project, a supplier
    "person",  # who did or said it
    "length",  # tenths of a millimetre
    "place",  # a place on the reel: a length from the head, a counter time, a timecode
    "time",  # a playing time, microseconds
    "speed",  # nominal micrometres per second, and varispeed in hundredths of a percent
    "speeds",  # several speeds, as text
    "size",  # a width or a diameter, micrometres
    "thickness",  # nanometres
    "tracks",  # a mask, and the names given to tracks
    "moment",  # a local day or an instant
    "day",  # a local day
    "count",  # a whole number
    "thousandths",  # a number to three places, kept as thousandths
    "share",  # a part of one, kept as thousandths; 80 % reads 0.8
    "hertz",  # a whole number of hertz
    "money",  # an amount in the row's currency, kept in its minor units
    "currency",  # ISO 4217 code
    "yesno",
    "choice",
    "timecode",  # hh:mm:ss:ff
    "sha256",
    "entry",  # another fact's number
]

Placed = Literal["no", "span", "point", "whole"]
"""Where a fact lies: nowhere on tape, a stretch (start, end), a place (at), or all tape on the reel at its moment."""


class Field(NamedTuple):
    """One field of a fact. help: what to type, in a few words."""

    name: str
    cell: Cell
    required: bool = False
    choices: tuple[str, ...] = ()
    help: str = ""


class Kind(NamedTuple):
    """One kind of fact. name: the word after `add`. file: its exchange file's stem and its table."""

    name: str
    file: str
    placed: Placed
    fields: tuple[Field, ...]
    help: str

    def field(self, name: str) -> Field:
        """The field of that name (KeyError if there is none)."""
        for field in self.fields:
            if field.name == name:
                return field
        raise KeyError(name)


class Column(NamedTuple):
    """One stored column: its name, whether it holds an integer (else text), and whether it may be empty."""

    name: str
    integer: bool
    nullable: bool


_INTEGER_CELLS = frozenset(
    {"length", "time", "size", "thickness", "count", "thousandths", "share", "hertz", "money", "day", "entry"}
)
_PLACE_FIELDS = {"no": (), "whole": (), "span": ("start", "end"), "point": ("at",)}


def _req(name: str, cell: Cell, help: str = "", *choices: str) -> Field:
    return Field(name, cell, True, choices, help)


def _opt(name: str, cell: Cell, help: str = "", *choices: str) -> Field:
    return Field(name, cell, False, choices, help)


_REEL = _req("reel", "name", "the number on the reel")
_DATE = _req("date", "moment", "the day, or the day and time, it happened")
_BY = _opt("by", "person", "who did it")
_BY_REQ = _req("by", "person", "who says so")
_NOTE = _opt("note", "text", "anything worth knowing")
_SPEED = _opt("speed", "speed", "the machine's speed, `15 ips`, `38.1 cm/s`, `15 ips +3%`")
_TRACKS = _opt("tracks", "tracks", "`1-8,13` or `1 kick; 2 snare`; empty means every track")
_START = _opt("start", "place", "where it begins: `300 ft`, `2:10`; both empty means the whole reel")
_END = _opt("end", "place", "where it ends")
_TRANSFER = _req("transfer", "name", "the transfer's name")
_COPY = _req("copy", "name", "the copy's name")
_PROJECT_OPT = _opt("project", "name", "the project")
_STOCK_ITEM = _req("stock_item", "name", "what one orders")
_CURRENCY = "ISO 4217 code, such as EUR"

KEEPS = ("keep", "discard", "undecided", "tones", "timecode")
FINDINGS = (
    "inspection",
    "listened",
    "stray-field",
    "edge",
    "pack",
    "crease",
    "stretch",
    "dropout",
    "sticky",
    "shedding",
    "vinegar",
    "mould",
    "other",
)
RATES = ("24", "25", "29.97 drop", "29.97", "30")

KINDS: tuple[Kind, ...] = (
    Kind(
        "formulation",
        "formulations",
        "no",
        (
            _req("formulation", "name", "the maker's name for the tape"),
            _opt("base", "choice", "what the base film is", "polyester", "acetate", "pvc", "unknown"),
            _opt("thickness", "thickness", "over all: `2.1 mil`, `50 um`"),
            _opt("back_coated", "yesno", "yes or no"),
            _opt("level_nwb_m", "thousandths", "operating level, nWb/m"),
            _opt("binder_watch", "yesno", "yes asks for a yearly inspection"),
            _NOTE,
        ),
        "a tape formulation",
    ),
    Kind(
        "stock-item",
        "stock_items",
        "no",
        (
            _STOCK_ITEM,
            _req("formulation", "name", "its formulation"),
            _req("width", "size", "`2 in`, `0.25 in`"),
            _req("length", "length", "`2500 ft`, `762 m`"),
            _opt("reel_size", "size", "`10.5 in`"),
            _opt("core", "size", "the hub's diameter, `4.5 in`"),
        ),
        "something one can order: formulation, width, length, reel size",
    ),
    Kind(
        "machine",
        "machines",
        "no",
        (
            _req("machine", "name", "the machine's name in the house"),
            _opt("width", "size", "`2 in`"),
            _opt("tracks", "count", "how many tracks its heads have"),
            _opt("largest_reel", "size", "`10.5 in`"),
            _opt("speeds", "speeds", "`15 ips; 30 ips`"),
            _NOTE,
        ),
        "a tape machine",
    ),
    Kind(
        "reel",
        "reels",
        "no",
        (
            _REEL,
            _req("stock_item", "name", "what was bought"),
            _req("tracks", "count", "how many tracks its head format has"),
            _opt("batch", "text", "batch number on the box"),
            _opt("length", "length", "its own length, where not the stock item's"),
            _opt("owner", "name", "`house`, or whose it is"),
            _opt("acquired", "day", "when it came"),
            _opt("arrived_as", "choice", "how it came", "sealed", "erased", "recorded", "unknown"),
            _opt("passes_before", "count", "passes before it came, where known"),
            _opt("role", "choice", "what it is for", "session", "master", "safety", "reference"),
            _opt("price", "money", "what was paid"),
            _opt("currency", "currency", _CURRENCY),
            _opt("supplier", "name", "who sold it"),
            _opt("shelf", "text", "where it stands"),
            _opt("wind", "choice", "how it is wound", "heads-out", "tails-out"),
            _NOTE,
        ),
        "a reel with a number",
    ),
    Kind("owner", "owners", "whole", (_REEL, _DATE, _req("owner", "name", "`house`, or whose"), _BY, _NOTE), "whose"),
    Kind(
        "zero-mark",
        "zero_marks",
        "point",
        (_REEL, _DATE, _req("at", "place", "a length from the head"), _BY, _NOTE),
        "where the counter was set to zero",
    ),
    Kind(
        "length",
        "lengths",
        "no",
        (
            _REEL,
            _DATE,
            _req("length", "length", "how much tape is there"),
            _opt("how", "text", "how it was measured"),
            _BY,
            _NOTE,
        ),
        "a correction of how much tape is on a reel",
    ),
    Kind(
        "set",
        "sets",
        "no",
        (
            _req("set", "name", "the set's name"),
            _REEL,
            _opt("date", "moment", "when they were locked"),
            _BY,
            _NOTE,
        ),
        "a reel recorded locked together with others",
    ),
    Kind(
        "pass",
        "passes",
        "span",
        (
            _REEL,
            _DATE,
            _req("kind", "choice", "what the tape did", "record", "play", "erase", "wind"),
            _START,
            _END,
            _SPEED,
            _TRACKS,
            _opt("count", "count", "how many times; empty means once"),
            _opt("take", "text", "the take it belongs to: `2`, `Title/2`"),
            _opt("machine", "name", "the machine"),
            _BY,
            _NOTE,
        ),
        "tape over the heads, or wound",
    ),
    Kind(
        "splice",
        "splices",
        "point",
        (
            _REEL,
            _DATE,
            _req("at", "place", "`300 ft`, `2:10`"),
            _SPEED,
            _opt("kind", "choice", "why it was made", "edit", "repair", "leader"),
            _opt("state", "choice", "how it holds", "sound", "doubtful", "failed"),
            _BY,
            _NOTE,
        ),
        "a splice",
    ),
    Kind(
        "edit",
        "edits",
        "span",
        (
            _REEL,
            _DATE,
            _req("start", "place", "where the cut begins"),
            _req("end", "place", "where it ends"),
            _SPEED,
            _opt("to_reel", "name", "the reel it is joined into; empty means thrown away"),
            _opt("to_at", "length", "where it is joined in, from that reel's head; empty means its tail"),
            _BY,
            _NOTE,
        ),
        "tape cut out, and thrown away or joined into a reel",
    ),
    Kind(
        "finding",
        "findings",
        "span",
        (
            _REEL,
            _DATE,
            _req("kind", "choice", "what was found", *FINDINGS),
            _req("severity", "count", "0 none, 1 slight, 2 marked, 3 severe"),
            _START,
            _END,
            _SPEED,
            _TRACKS,
            _BY,
            _NOTE,
        ),
        "a look or a listen, and what was found",
    ),
    Kind(
        "response",
        "response",
        "point",
        (
            _REEL,
            _DATE,
            _opt("at", "place", "where on the tape"),
            _SPEED,
            _opt("machine", "name", "the machine"),
            _opt("track", "count", "the track"),
            _req("frequency_hz", "hertz", "`10 kHz`"),
            _req("level_db", "thousandths", "dB against the reference"),
            _opt("tone", "choice", "recorded then, or just now", "kept", "fresh"),
            _BY,
            _NOTE,
        ),
        "the playback level of a test tone",
    ),
    Kind(
        "take",
        "takes",
        "span",
        (
            _REEL,
            _DATE,
            _PROJECT_OPT,
            _req("title", "text", "the title"),
            _req("take", "text", "its number or name"),
            _req("start", "place", "where it begins"),
            _opt("end", "place", "where it ends (only a running take has none)"),
            _req("speed", "speed", "`15 ips`"),
            _TRACKS,
            _opt("state", "choice", "how it went", "running", "whole", "false-start"),
            _opt("keep", "choice", "what is to become of it", *KEEPS),
            _opt("machine", "name", "the machine"),
            _opt("noise_reduction", "text", "which"),
            _opt("equalisation", "text", "which"),
            _opt("level_nwb_m", "thousandths", "operating level, nWb/m"),
            _BY,
            _NOTE,
        ),
        "a take on tape",
    ),
    Kind(
        "decision",
        "decisions",
        "no",
        (
            _REEL,
            _PROJECT_OPT,
            _req("title", "text", "the title"),
            _req("take", "text", "the take"),
            _DATE,
            _req("keep", "choice", "what is to become of it", *KEEPS),
            _BY_REQ,
            _NOTE,
        ),
        "what is to become of a take",
    ),
    Kind(
        "stripe",
        "stripes",
        "point",
        (
            _REEL,
            _DATE,
            _opt("track", "count", "the track it is on"),
            _opt("at", "place", "where the start code lies; empty means the head"),
            _opt("start_code", "timecode", "`01:00:00:00`"),
            _opt("rate", "choice", "frames a second", *RATES),
            _BY,
            _NOTE,
        ),
        "timecode on the tape",
    ),
    Kind(
        "transfer",
        "transfers",
        "span",
        (
            _TRANSFER,
            _REEL,
            _DATE,
            _req("start", "place", "where it begins"),
            _req("end", "place", "where it ends"),
            _req("speed", "speed", "`15 ips`"),
            _req("tracks", "tracks", "`1-16`"),
            _req("sample_rate_hz", "hertz", "`96 kHz`"),
            _req("bit_depth", "count", "`24`"),
            _BY,
            _NOTE,
        ),
        "a stretch of tape copied to audio files",
    ),
    Kind("listen", "listens", "no", (_TRANSFER, _DATE, _BY_REQ, _NOTE), "the files heard at head, middle and end"),
    Kind(
        "copy",
        "copies",
        "no",
        (
            _TRANSFER,
            _COPY,
            _req("medium", "name", "the disk, card or store it is on"),
            _req("place", "choice", "in this house or another", "here", "elsewhere"),
            _opt("folder", "text", "where on the medium"),
            _opt("date", "moment", "when it was made"),
            _BY,
        ),
        "a transfer's files on one medium",
    ),
    Kind(
        "copy-file",
        "copy_files",
        "no",
        (
            _TRANSFER,
            _COPY,
            _req("path", "text", "inside the copy's folder"),
            _opt("bytes", "count", "its size"),
            _opt("sha256", "sha256", "its hash"),
            _opt("track", "count", "the track it holds"),
        ),
        "one file of a copy",
    ),
    Kind(
        "copy-check",
        "copy_checks",
        "no",
        (
            _TRANSFER,
            _COPY,
            _DATE,
            _req("method", "choice", "read from end to end, or only said", "read", "stated"),
            _req("result", "choice", "", "pass", "fail"),
            _opt("manifest_sha256", "sha256", "hash of the manifest read"),
            _BY,
            _NOTE,
        ),
        "proof that a copy is readable and unchanged",
    ),
    Kind(
        "hold",
        "holds",
        "whole",
        (
            _req("hold", "name", "the hold's name"),
            _REEL,
            _DATE,
            _opt("until", "day", "the last day it holds"),
            _req("reason", "text", "why"),
            _BY,
        ),
        "somebody's word that a reel may not be wiped",
    ),
    Kind("hold-end", "hold_ends", "no", (_req("hold", "name", "the hold's name"), _DATE, _BY, _NOTE), "a hold is over"),
    Kind(
        "release",
        "releases",
        "whole",
        (
            _REEL,
            _opt("project", "name", "empty means the whole reel"),
            _DATE,
            _req("granted_by", "person", "whose word it is"),
            _BY,
            _NOTE,
        ),
        "the owner's word that a recording may go",
    ),
    Kind(
        "wipe",
        "wipes",
        "span",
        (
            _REEL,
            _DATE,
            _req("method", "choice", "", "bulk", "machine"),
            _START,
            _END,
            _SPEED,
            _opt("machine", "name", "the machine"),
            _opt("second", "person", "the second person"),
            _opt("certificate", "sha256", "the wipe's certificate"),
            _BY,
            _NOTE,
        ),
        "a reel erased for reuse",
    ),
    Kind("retirement", "retirements", "whole", (_REEL, _DATE, _opt("reason", "text", "why"), _BY, _NOTE), "retired"),
    Kind(
        "move",
        "moves",
        "no",
        (
            _REEL,
            _DATE,
            _req("kind", "choice", "", "shelf", "out", "back", "lost", "found", "returned"),
            _opt("to", "text", "where to"),
            _BY,
            _NOTE,
        ),
        "a reel moved",
    ),
    Kind(
        "reservation",
        "reservations",
        "no",
        (_REEL, _req("project", "name", "for whom"), _DATE, _opt("until", "day", "the last day"), _BY, _NOTE),
        "a reel kept for a project",
    ),
    Kind(
        "project",
        "projects",
        "no",
        (
            _req("project", "name", "its name"),
            _opt("client", "name", "whose it is; empty or `house` is the studio's own"),
            _opt("from", "day", "first day"),
            _opt("to", "day", "last day"),
            _opt("chance", "share", "that it happens: `0.8`, `80 %`"),
            _opt("stock_item", "name", "what it records on"),
            _opt("speed", "speed", "`15 ips`"),
            _opt("tracks", "count", "how many tracks"),
            _opt("titles", "count", "how many titles"),
            _opt("length_low", "time", "shortest take, `3:00`"),
            _opt("length_likely", "time", "usual take"),
            _opt("length_high", "time", "longest take"),
            _opt("takes_low", "count", "takes a title, fewest"),
            _opt("takes_likely", "count", "takes a title, usual"),
            _opt("takes_high", "count", "takes a title, most"),
            _opt("false_starts", "share", "share of takes that are false starts"),
            _opt("mode", "choice", "", "keep-all", "keep-masters", "through"),
            _opt("cool_days", "count", "days a transfer must be old before a wipe"),
            _opt("days_back", "count", "days until its reels come back"),
            _opt("passes_per_take", "thousandths", "passes a take"),
            _opt("client_buys", "yesno", "yes: the client buys the tape"),
            _opt("release_needed", "yesno", "no: its recordings may go without the client's word"),
            _opt("grade", "choice", "", "critical", "standard", "scratch"),
        ),
        "a project",
    ),
    Kind(
        "quote",
        "quotes",
        "no",
        (
            _req("supplier", "name", "who sells"),
            _STOCK_ITEM,
            _opt("date", "moment", "when it was given"),
            _opt("from_quantity", "count", "the price holds from so many"),
            _req("unit_price", "money", "each"),
            _req("currency", "currency", _CURRENCY),
            _opt("pricing", "choice", "", "all-units", "incremental"),
            _opt("minimum", "count", "fewest one can order"),
            _opt("case", "count", "reels a case"),
            _opt("order_fee", "money", "per order"),
            _opt("lead_low", "count", "days, shortest"),
            _opt("lead_likely", "count", "days, usual"),
            _opt("lead_high", "count", "days, longest"),
            _opt("valid_until", "day", "the last day it holds"),
        ),
        "a supplier's price",
    ),
    Kind(
        "order",
        "orders",
        "no",
        (
            _req("order", "name", "the order's number"),
            _DATE,
            _req("supplier", "name", "who sells"),
            _STOCK_ITEM,
            _req("quantity", "count", "how many"),
            _req("unit_price", "money", "each"),
            _req("currency", "currency", _CURRENCY),
            _opt("expected", "day", "when it should come"),
        ),
        "an order placed",
    ),
    Kind(
        "receipt",
        "receipts",
        "no",
        (
            _req("order", "name", "the order's number"),
            _DATE,
            _STOCK_ITEM,
            _req("quantity", "count", "how many came"),
            _opt("first_reel", "name", "the first one's number"),
            _opt("batch", "text", "batch number on the boxes"),
            _BY,
        ),
        "an order received",
    ),
    Kind(
        "rule",
        "rules",
        "no",
        (
            _req("rule", "name", "the house rule"),
            _req("value", "text", "its value"),
            _DATE,
            _BY_REQ,
            _NOTE,
        ),
        "a house rule set",
    ),
    Kind(
        "mark",
        "marks",
        "point",
        (
            _REEL,
            _DATE,
            _req("at", "place", "`300 ft`, `2:10`"),
            _SPEED,
            _opt("take", "text", "the take it was made in: `2`, `Title/2`"),
            _BY,
            _NOTE,
        ),
        "a place worth finding again, with a word on why; it changes no answer",
    ),
    Kind(
        "void",
        "voids",
        "no",
        (
            _req("entry", "entry", "the entry that was wrong"),
            _DATE,
            _req("reason", "text", "why"),
            _BY_REQ,
        ),
        "an entry taken back",
    ),
)

BY_NAME = {kind.name: kind for kind in KINDS}
BY_FILE = {kind.file: kind for kind in KINDS}


def columns(kind: Kind) -> tuple[Column, ...]:
    """The stored columns of a kind's own fields, in order; places are stored apart (see `PLACE_COLUMNS`)."""
    return tuple(_columns(kind))


def _columns(kind: Kind) -> Iterator[Column]:
    places = _PLACE_FIELDS[kind.placed]
    for field in kind.fields:
        empty = not field.required
        if field.name in places:
            continue
        if field.cell == "moment":
            yield Column("day", True, True)
            yield Column("at_us", True, True)
        elif field.cell == "speed":
            yield Column(field.name, True, empty)
            yield Column("vary", True, True)
        elif field.cell == "tracks":
            yield Column(field.name, True, empty)
            yield Column("track_names", False, True)
        elif kind.name == "void" and field.cell == "entry":
            yield Column("target", True, False)
        else:
            yield Column(field.name, field.cell in _INTEGER_CELLS, empty)
    if kind.name == "decision":
        yield Column("take_entry", True, False)


PLACE_COLUMNS = ("tape", "lo", "hi")
"""The first stretch of tape a placed fact lies on; further stretches stand in the `places` table."""
