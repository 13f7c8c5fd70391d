"""House rules: the studio's own limits, each with its default, its sense of "stricter" and its reason.

No published figure was found for how many passes professional tape bears, how much it may lose, or how deep an
erasure must be: those limits are the house's own.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple

Grade = Literal["critical", "standard", "scratch"]
GRADES: tuple[Grade, ...] = ("critical", "standard", "scratch")

RuleCell = Literal["count", "thousandths", "length", "speed", "time", "share", "zone"]


class RuleDefinition(NamedTuple):
    """One house rule. default: stored value. stricter: which way binds (+1 higher, -1 lower, 0 neither)."""

    name: str
    cell: RuleCell
    default: int | str
    stricter: int
    help: str


_OWN = "the house's own limit: no published figure was found"


def _graded(stem: str, cell: RuleCell, stricter: int, help: str, *values: int) -> list[RuleDefinition]:
    return [
        RuleDefinition(f"{stem}_{grade}", cell, value, stricter, help)
        for grade, value in zip(GRADES, values, strict=False)
    ]


_SECOND = 1_000_000

RULES: tuple[RuleDefinition, ...] = (
    RuleDefinition("time_zone", "zone", "UTC", 0, "the zone the house's days are counted in"),
    RuleDefinition("usual_speed", "speed", 381_000, 0, "the speed answers are given at when none is asked"),
    RuleDefinition("shortest_stretch", "length", 600 * 3048, 1, "the shortest useful unbroken stretch"),
    *_graded("passes", "count", -1, f"passes anywhere in the stretch, at most ({_OWN})", 30, 150, 400),
    *_graded("wipes", "count", -1, f"times wiped for reuse, at most ({_OWN})", 1, 4, 10),
    *_graded("response_fall", "thousandths", -1, f"fall at 10 kHz in dB, at most ({_OWN})", 1000, 2000, 3000),
    *_graded("severity", "count", -1, "worst finding in the stretch, at most", 0, 1, 2),
    *_graded("inspection_days", "count", -1, "days since the newest inspection, at most", 90, 365),
    RuleDefinition("binder_watch_days", "count", 365, -1, "days between inspections of a watched binder, at most"),
    RuleDefinition("splice_guard_s", "time", 2 * _SECOND, 1, "no critical or standard take so near a splice"),
    RuleDefinition("splices_scratch", "count", 4, -1, "splices in a scratch take's own footprint, at most"),
    RuleDefinition("unused_head_s", "time", 15 * _SECOND, 1, "left unused at the head (10 to 15 s: common practice)"),
    RuleDefinition("unused_head_length", "length", 25 * 3048, 1, "left unused at the head, at least"),
    RuleDefinition("unused_tail_s", "time", 30 * _SECOND, 1, "left unused at the tail"),
    RuleDefinition("stray_s", "time", 10 * _SECOND, -1, "a stray recording beside a take needs nothing of its own"),
    RuleDefinition("minimum_rate_hz", "count", 48_000, 1, "sample rate of a transfer, at least (IASA-TC 03)"),
    RuleDefinition("minimum_bits", "count", 24, 1, "bit depth of a transfer, at least (IASA-TC 03)"),
    RuleDefinition("cooling_days", "count", 14, 1, "days a transfer must be old before a wipe"),
    RuleDefinition("copies_needed", "count", 2, 1, "good copies of a transfer, at least"),
    RuleDefinition("media_needed", "count", 2, 1, "different media those copies are on, at least"),
    RuleDefinition("elsewhere_needed", "count", 1, 1, "good copies in another place, at least"),
    RuleDefinition("copy_check_days", "count", 365, -1, "days since a copy was last read through, at most"),
    RuleDefinition(
        "wipe_reread_days", "count", 7, -1, "days since a copy was read through, at most, when a wipe begins"
    ),
    # the limits a copy's files are held to when they are read: all of them the house's own
    RuleDefinition(
        "proof_short_share",
        "share",
        5,
        -1,
        "files shorter than their tape, at most: a share, for what a counter is off by",
    ),
    RuleDefinition("proof_short_s", "time", _SECOND, -1, "or so much, where that is more: a take is lost by more"),
    RuleDefinition("proof_long_s", "time", 60 * _SECOND, -1, "files longer by more are remarked on: pre-roll is less"),
    RuleDefinition(
        "proof_silence_db",
        "thousandths",
        70_000,
        -1,
        "sound so far below full scale counts as silence, in dB: the hiss of a track in use lies above it",
    ),
    RuleDefinition("proof_least_sound_s", "time", _SECOND // 5, 1, "a track that sounds for less is silent throughout"),
    RuleDefinition("proof_silent_stretch_s", "time", 20 * _SECOND, -1, "a silent stretch so long is remarked on"),
    RuleDefinition("proof_clip_samples", "count", 3, -1, "so many full-scale samples in a row are a clipped run"),
    RuleDefinition(
        "proof_zero_run_s",
        "time",
        _SECOND // 100,
        -1,
        "exact zeros for so long inside programme are a dropout: tape hisses",
    ),
    RuleDefinition("proof_start_frames", "count", 1, -1, "a file's start time may be so many frames off the stripe's"),
    RuleDefinition("proof_resume_s", "time", 86_400 * _SECOND, -1, "an unfinished reading that is older is begun anew"),
    RuleDefinition("out_days", "count", 14, -1, f"days a reel is out before it is asked after ({_OWN})"),
    RuleDefinition("hold_notice_days", "count", 7, 1, f"days before a hold's end in which it is told ({_OWN})"),
    RuleDefinition("second_person_always", "count", 0, 1, "1 asks for a second person at every wipe, not masters only"),
    RuleDefinition("slate_s", "time", 10 * _SECOND, 1, "slate and pre-roll before a take"),
    RuleDefinition("overrun_share", "share", 100, 1, "room to run over, as a share of the take"),
    RuleDefinition("overrun_s", "time", 30 * _SECOND, 1, "room to run over, at least"),
    RuleDefinition("gap_s", "time", 5 * _SECOND, 1, "gap between takes"),
    RuleDefinition("tones_s", "time", 105 * _SECOND, 1, "alignment tones on a newly opened reel"),
    RuleDefinition("guard_s", "time", 20 * _SECOND, 1, "guard after the last live recording"),
    RuleDefinition("guard_share", "share", 2, 1, "guard, as a share of the distance from zero"),
    RuleDefinition("service_level", "share", 900, 1, "chance of not running short that the house wants to buy for"),
    RuleDefinition("common_factor", "share", 150, 1, "how far all projects together may need more takes, or fewer"),
    RuleDefinition("leftover_reels", "count", 2, -1, "reels passed over that a shorter title may still go on"),
    RuleDefinition("counts_as_reel", "share", 900, 1, "fit tape, as a share of a new reel's, to count as one on hand"),
    RuleDefinition("week_begins", "count", 1, 0, "the day weeks are counted from: 1 Monday to 7 Sunday"),
    RuleDefinition("forecast_weeks", "count", 26, 0, "weeks a forecast looks ahead"),
    RuleDefinition("forecast_trials", "count", 10_000, 0, "trials of a forecast"),
    RuleDefinition("forecast_seed", "count", 1, 0, "what a forecast's chance begins with: the same gives the same"),
    RuleDefinition(
        "holding_share", "share", 100, 0, f"what keeping tape costs a year, as a share of its price ({_OWN})"
    ),
    RuleDefinition("left_over_share", "share", 800, 0, f"what a reel bought and not yet needed is worth ({_OWN})"),
    RuleDefinition("budget_month", "count", 0, 0, "for tape in a month, in whole units of currency; 0 is no limit"),
)

BY_NAME = {rule.name: rule for rule in RULES}


class RuleFact(NamedTuple):
    """A rule's value as set at a moment. value: stored value as in RuleDefinition.default."""

    entry: int
    name: str
    value: int | str
    moment: int


class Rules:
    """The house rules in force: the newest value of each (the strictest of those tied), else its default."""

    def __init__(self, facts: Iterable[RuleFact] = ()) -> None:
        newest: dict[str, RuleFact] = {}
        for fact in facts:
            held = newest.get(fact.name)
            if held is None or self._rank(fact) > self._rank(held):
                newest[fact.name] = fact
        self.set_by = {name: fact.entry for name, fact in newest.items()}
        self._values = {rule.name: rule.default for rule in RULES} | {n: f.value for n, f in newest.items()}

    @staticmethod
    def _rank(fact: RuleFact) -> tuple[int, int, str]:
        stricter = BY_NAME[fact.name].stricter
        return fact.moment, stricter * fact.value if isinstance(fact.value, int) else 0, str(fact.value)

    def number(self, name: str) -> int:
        """A rule's value in its stored unit."""
        value = self._values[name]
        if not isinstance(value, int):
            raise TypeError(f"{name} is not a number")
        return value

    def value(self, name: str) -> int | str:
        """A rule's stored value."""
        return self._values[name]

    @property
    def names(self) -> frozenset[str]:
        """The names of all rules."""
        return frozenset(self._values)

    @property
    def zone(self) -> str:
        """The house's time zone."""
        return str(self._values["time_zone"])

    def graded(self, stem: str, grade: Grade) -> int | None:
        """A limit of one grade; None where the grade has none."""
        name = f"{stem}_{grade}"
        return self.number(name) if name in BY_NAME else None
