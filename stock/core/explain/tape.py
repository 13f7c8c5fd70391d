"""Every reason about the tape, in plain words: what keeps it from which use."""

from __future__ import annotations

from functools import partial

from stock.core.explain.explanation import explanation

_about = partial(explanation, "tape")

_OWN = "No published figure was found for it: the limit is the house's own."

TAPE = (
    _about(
        "too-many-passes",
        "The tape has run over the heads more often than the house allows for the grades named.",
        f"Every pass rubs oxide off. {_OWN}",
        "Passes are not undone. Use it for a lesser grade, cut the worn stretch out, or retire it.",
        rules="passes_*",
        enter="edit retirement",
    ),
    _about(
        "passes-unknown",
        "The tape did not come sealed, and nobody entered how many passes it had before.",
        "For critical and standard use the house wants to know; for scratch it does not stand in the way.",
        "Enter its passes before it came, if anybody knows; a guess is not knowledge. What it says then counts "
        "as passes.",
        rules="passes_*",
        enter="reel",
    ),
    _about(
        "too-many-reuses",
        "The stretch was wiped for reuse more often than the house allows for the grades named.",
        f"Each reuse can leave a trace of what was there. {_OWN}",
        "Wipes are not undone. Use it for a lesser grade, or cut the stretch out.",
        rules="wipes_*",
        enter="edit",
    ),
    _about(
        "high-frequency-loss",
        "Its level at 10 kHz has fallen further since its first check than the house allows for the grades named.",
        f"Worn tape loses its top first. {_OWN}",
        "Rule out dirty heads, azimuth and level, and check again: the newest check counts. If it is the tape, "
        "use it for a lesser grade.",
        rules="response_fall_*",
        enter="response",
    ),
    _about(
        "too-many-splices",
        "Its splices leave no stretch that is long enough and free of them for the grades named.",
        "A splice can be heard, and can part: no critical or standard take comes near one.",
        "Use it for scratch, which may cross sound splices; or cut the spliced part out, if what is left is long "
        "enough.",
        rules="shortest_stretch splice_guard_s",
        enter="edit",
    ),
    _about(
        "splice-doubtful",
        "A splice is entered as doubtful or failed.",
        "No take of any grade crosses it, not even scratch: it may part on the machine.",
        "Remake the splice and enter it as sound at the same place. It stays a splice.",
        rules="splice_guard_s",
        enter="splice",
    ),
    _about(
        "damaged",
        "A fault found on a stretch is worse than the house allows for the grades named.",
        f"A marked fault is heard, or grows. {_OWN}",
        "Record clear of it, or cut it out. A finding of the same kind with severity 0 ends it where it has "
        "truly gone; a lighter one does not, and edges and stretched tape do not mend.",
        rules="severity_*",
        enter="finding edit",
    ),
    _about(
        "not-inspected",
        "Nobody has inspected the tape lately enough for the grades named; tape with a watched binder is "
        "inspected for every grade.",
        "What nobody has looked at for long is not known to be sound.",
        "Inspect the whole reel and enter what you find. What is found decides. Sealed tape that was never used needs "
        "none, unless its binder is watched.",
        rules="inspection_days_* binder_watch_days",
        enter="finding",
    ),
    _about(
        "wiped-not-heard",
        "It was wiped, and nobody listened to it since.",
        "An erased trace can come back, and one pass of an eraser is not always enough.",
        "Listen to it and enter a listened finding of severity 0 if it is silent. What is heard decides.",
        enter="finding",
    ),
    _about(
        "batch-suspect",
        "Another reel of the same formulation and batch has a sick binder or base, or mould.",
        "Reels of a batch age alike.",
        "Inspect this one and enter what you find; an inspection counts if it is later than that fault. What is found "
        "decides.",
        enter="finding",
    ),
    _about(
        "sticky",
        "Its binder is sticky.",
        "Do not play it: it sheds on the machine and loses what is on it. Published ways of treating it "
        "contradict each other, and this program gives none.",
        "Treatment is a specialist's work. Hold it till then.",
        enter="finding retirement",
    ),
    _about(
        "shedding",
        "It sheds oxide.",
        "Do not play it: what it sheds is what is recorded on it, and clogs the heads.",
        "Treatment is a specialist's work.",
        enter="finding retirement",
    ),
    _about(
        "vinegar",
        "It smells of vinegar: the base is breaking down.",
        "It goes on by itself, and spreads to tape beside it.",
        "Keep it apart and ventilate. Nothing makes such a base sound again; transferring it is a specialist's work.",
        enter="finding retirement",
    ),
    _about(
        "mould",
        "There is mould on it.",
        "Keep it apart and closed, and do not open it in the studio: dormant spores make people ill too.",
        "Cleaning is a specialist's work.",
        enter="finding retirement",
    ),
    _about(
        "too-short",
        "No usable stretch is as long as the house's shortest useful one.",
        "The head and the tail are left unused, and shorter pieces are of no use to a session.",
        "Join it to other tape, or retire it.",
        rules="shortest_stretch unused_head_s unused_head_length unused_tail_s",
        enter="edit length retirement",
    ),
    _about(
        "retired",
        "The tape was retired.",
        "It is used for nothing more, whatever else is known of it.",
        "Nothing but taking the retirement back, if it was entered by mistake.",
        enter="void",
    ),
    _about(
        "void-loosened",
        "An entry was taken back, and the answer about the tape is looser without it than it was with it.",
        "It is a note: nothing stands in the way, but an entry taken back by mistake would be a wrong yes.",
        "Make sure that it was taken back by right; if it was not, enter it again.",
        enter="void",
    ),
)
