"""House rules in groups: what each group guards, each rule's unit, and why the house holds to it, in a sentence.

Where no published figure was found the sentence says that the limit is the house's own.
"""

from __future__ import annotations

from typing import NamedTuple

from stock.core.rules import GRADES, RULES, RuleDefinition


class Group(NamedTuple):
    """Rules that belong together. about: what they bear on, in words that follow "it bears on"."""

    name: str
    title: str
    about: str
    stems: tuple[str, ...]


GROUPS: tuple[Group, ...] = (
    Group(
        "proof",
        "Proof of a transfer",
        "whether what is recorded may go",
        (
            "minimum_rate_hz",
            "minimum_bits",
            "cooling_days",
            "copies_needed",
            "media_needed",
            "elsewhere_needed",
            "copy_check_days",
            "stray_s",
        ),
    ),
    Group("wipe", "The wipe", "what is asked for when a wipe begins", ("wipe_reread_days", "second_person_always")),
    Group(
        "files",
        "Files of a copy as they are read",
        "what reading a copy fails or remarks on",
        (
            "proof_short_share",
            "proof_short_s",
            "proof_long_s",
            "proof_silence_db",
            "proof_least_sound_s",
            "proof_silent_stretch_s",
            "proof_clip_samples",
            "proof_zero_run_s",
            "proof_start_frames",
            "proof_resume_s",
        ),
    ),
    Group(
        "wear",
        "Wear, by grade",
        "what grade of use the tape is fit for",
        ("passes", "wipes", "response_fall", "severity"),
    ),
    Group(
        "inspection",
        "Inspection",
        "how long an inspection is believed",
        ("inspection_days", "binder_watch_days"),
    ),
    Group(
        "tape",
        "Usable tape",
        "which tape of a reel counts",
        (
            "shortest_stretch",
            "unused_head_s",
            "unused_head_length",
            "unused_tail_s",
            "splice_guard_s",
            "splices_scratch",
        ),
    ),
    Group(
        "takes",
        "Room for a take",
        "how much tape a take is given when reels are picked and at the machine",
        ("slate_s", "overrun_share", "overrun_s", "gap_s", "tones_s", "guard_s", "guard_share"),
    ),
    Group(
        "custody",
        "Custody",
        "what is told of reels that are out, and of holds that end",
        ("out_days", "hold_notice_days"),
    ),
    Group(
        "forecast",
        "Forecast",
        "what a forecast counts and how",
        (
            "service_level",
            "common_factor",
            "leftover_reels",
            "counts_as_reel",
            "week_begins",
            "forecast_weeks",
            "forecast_trials",
            "forecast_seed",
        ),
    ),
    Group("buying", "Buying", "order plans and budgets", ("holding_share", "left_over_share", "budget_month")),
    Group("house", "The house", "in which days and at which speed answers are given", ("time_zone", "usual_speed")),
)

_OWN = "No published figure was found: the house's own."


class _Sense(NamedTuple):
    unit: str
    why: str


_SENSES: dict[str, _Sense] = {
    "minimum_rate_hz": _Sense("Hz", "Below it a transfer loses what the tape holds; IASA-TC 03 asks for 48 kHz."),
    "minimum_bits": _Sense("bits", "Fewer bits bring their own noise close to the tape's; IASA-TC 03 asks for 24."),
    "cooling_days": _Sense(
        "days", "Mistakes in a transfer are mostly found within days of it, by those who use the files."
    ),
    "copies_needed": _Sense(
        "copies", "One copy is lost with one disk: two complete copies are the least (NDSA levels)."
    ),
    "media_needed": _Sense("media", "Copies on one medium are lost together."),
    "elsewhere_needed": _Sense("copies", "Fire, water and theft take everything in one place."),
    "copy_check_days": _Sense("days", "Files rot unread: a copy last read long ago may be none."),
    "stray_s": _Sense(
        "seconds", "A machine rolls on before and after a take; more than that may be a take nobody logged."
    ),
    "wipe_reread_days": _Sense("days", "A wipe cannot be undone: a copy is read once more shortly before."),
    "second_person_always": _Sense("0 or 1", "Two people see a wrong reel more often than one."),
    "proof_short_share": _Sense("share", "A counter is a little off; files shorter than that have lost tape."),
    "proof_short_s": _Sense("seconds", "On a short take a share of it is less than the hand on the stop key."),
    "proof_long_s": _Sense("seconds", "Pre-roll and run-out are shorter; longer files may be of other tape."),
    "proof_silence_db": _Sense("dB below full scale", "The hiss of a track in use lies above it."),
    "proof_least_sound_s": _Sense("seconds", "A click alone does not make a silent track a recorded one."),
    "proof_silent_stretch_s": _Sense("seconds", "Rests are shorter; a longer silence may be a fault of the transfer."),
    "proof_clip_samples": _Sense("samples", "A lone full-scale sample may be music; several in a row are clipped."),
    "proof_zero_run_s": _Sense("seconds", "Tape hisses: exact zeros inside programme were not on it."),
    "proof_start_frames": _Sense("frames", "A start time further off the stripe puts tracks out of step."),
    "proof_resume_s": _Sense("seconds", "What was read long ago may have changed since: it is read anew."),
    "passes": _Sense("passes", f"Every pass over the heads rubs oxide off the tape. {_OWN}"),
    "wipes": _Sense("wipes", f"Every reuse can leave a trace of what was there, and comes with handling. {_OWN}"),
    "response_fall": _Sense("dB", f"Worn tape loses its top first; past this it is heard. {_OWN}"),
    "severity": _Sense("0 to 3", f"A marked fault is heard, or grows. {_OWN}"),
    "inspection_days": _Sense("days", f"What nobody has looked at for long is not known to be sound. {_OWN}"),
    "binder_watch_days": _Sense("days", f"A binder that is known to go bad is looked at more often. {_OWN}"),
    "shortest_stretch": _Sense("feet", f"Shorter pieces of sound tape are of no use to a session. {_OWN}"),
    "unused_head_s": _Sense("seconds", "The threading end is handled most; 10 to 15 s are left (common practice)."),
    "unused_head_length": _Sense("feet", "At slow speeds seconds alone would leave too little of the threading end."),
    "unused_tail_s": _Sense("seconds", "A take that runs off the end of the tape is lost."),
    "splice_guard_s": _Sense("seconds", "A splice can be heard, and can part, before the tape is right over it."),
    "splices_scratch": _Sense("splices", f"A guide or an effect may cross a few splices, not many. {_OWN}"),
    "slate_s": _Sense("seconds", "A take is announced, and the machine comes up to speed, before it."),
    "overrun_share": _Sense("share", "Songs run long, long songs by more."),
    "overrun_s": _Sense("seconds", "Songs run long, and a take that leaves the tape is lost."),
    "gap_s": _Sense("seconds", "Takes that touch are hard to find and easy to clip."),
    "tones_s": _Sense("seconds", "Whoever plays the reel later aligns a machine by tones: 30 s each of three."),
    "guard_s": _Sense("seconds", "Recording starts well clear of what must stay."),
    "guard_share": _Sense("share", "A machine's counter is off by more the further it is from zero."),
    "out_days": _Sense("days", f"A reel out for long is one nobody asks for, until it is needed. {_OWN}"),
    "hold_notice_days": _Sense("days", f"Whoever asked for a hold has time to ask for more before it ends. {_OWN}"),
    "service_level": _Sense("share", "How sure the house wants to be that tape does not run out."),
    "common_factor": _Sense("share", f"Good and bad years come to all projects together. {_OWN}"),
    "leftover_reels": _Sense("reels", "Nobody threads reel after reel to find room for a short title."),
    "counts_as_reel": _Sense("share", "A reel with much of its tape spent does not stand in for a new one."),
    "week_begins": _Sense("1 to 7", "Weeks are counted as the studio's calendar counts them."),
    "forecast_weeks": _Sense("weeks", "Far enough to order in time, not so far that plans are guesses."),
    "forecast_trials": _Sense("trials", "More give steadier odds and take longer."),
    "forecast_seed": _Sense("number", "The same seed gives the same odds, so that two people see one forecast."),
    "holding_share": _Sense("share a year", f"Money and room bound in tape that waits. {_OWN}"),
    "left_over_share": _Sense(
        "share", f"Tape not yet needed is worth less than its price, and more than nothing. {_OWN}"
    ),
    "budget_month": _Sense("currency", "What the house will spend on tape in a month; 0 is no limit."),
    "time_zone": _Sense("zone", "A day without a time is a whole day where the studio stands."),
    "usual_speed": _Sense("ips", "The speed most sessions run at: times are given at it when none is asked."),
}


def stem_of(name: str) -> str:
    """A rule's name without its grade, where it is one of several for the grades."""
    for grade in GRADES:
        stem = name.removesuffix(f"_{grade}")
        if stem != name and stem in _SENSES:
            return stem
    return name


def unit_of(rule: RuleDefinition) -> str:
    """The unit a rule's value is typed in, in words."""
    return _SENSES[stem_of(rule.name)].unit


def what_of(rule: RuleDefinition) -> str:
    """What a rule limits, without the remark that its reason makes as well."""
    return rule.help.partition(" (the house's own limit")[0]


def why_of(rule: RuleDefinition) -> str:
    """Why the house holds to a rule, in a sentence or two."""
    return _SENSES[stem_of(rule.name)].why


def rules_of(group: Group) -> tuple[RuleDefinition, ...]:
    """The rules of a group: in the group's order, critical before standard before scratch."""
    return tuple(rule for stem in group.stems for rule in RULES if stem_of(rule.name) == stem)


def group_of(name: str) -> Group:
    """The group a rule is in (StopIteration where there is no such rule)."""
    return next(group for group in GROUPS if stem_of(name) in group.stems)
