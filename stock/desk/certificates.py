"""Certificates of wipes: what was on a reel, its proof, its hashes and the rules in force, kept in the journal."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from typing import Any

from stock.core.moments import Calendar, date_of, datetime_of
from stock.core.proof import cooling_days, prove
from stock.core.record import Transfer
from stock.core.rules import BY_NAME as RULES_BY_NAME
from stock.core.spans import Span
from stock.core.tracks import spell
from stock.core.verdict import Advice
from stock.core.words import feet
from stock.desk.desk import Desk
from stock.edge.cells import Context
from stock.edge.rule_values import spell_rule
from stock.store.reader import Reader

PERMIT = "wipe permit "
"""How a journal line that gives a permit begins; the certificate's text follows."""


def certificate(desk: Desk, wipe_entry: int) -> dict[str, Any] | None:
    """The certificate of a wipe as it stands in the journal, or None where this journal does not hold it."""
    with desk.store.reading() as reader:
        rows = reader.raw("SELECT certificate FROM wipes WHERE entry = ?", (wipe_entry,))
        if not rows or rows[0][0] is None:
            return None
        for line in reader.lines():
            if line.what.startswith(PERMIT) and digest(line.what.removeprefix(PERMIT)) == rows[0][0]:
                content: dict[str, Any] = json.loads(line.what.removeprefix(PERMIT))
                return {**content, "certificate": rows[0][0], "journal_line": line.line, "journal_sha256": line.sha256}
    return None


def digest(text: str) -> str:
    """The SHA-256 of a certificate's text, by which a wipe names it."""
    return hashlib.sha256(text.encode()).hexdigest()


def transfers_relied_on(answer: Advice, spans: Sequence[Span] | None = None) -> list[tuple[Transfer, int]]:
    """The proved transfers the answer rests on, with the cooling days each was proved for.

    spans: reel places; where given, only those for takes that have something live there.
    """
    house = answer.view.house
    found: dict[int, tuple[Transfer, int]] = {}
    for claim in answer.recording.claims:
        if spans is not None and not any(a < hi and lo < b for lo, hi, _ in claim.live for a, b in spans):
            continue
        days = cooling_days(house, claim.take.project if claim.take is not None else None)
        for transfer in claim.helped.values():
            if prove(house, transfer, days).proved:
                found[transfer.entry] = (transfer, days)
    return [found[entry] for entry in sorted(found)]


def certificate_text(reader: Reader, answer: Advice, who: str, second: str | None, now_us: int) -> str:
    """What was on the reel, its proof, its hashes, the rules in force and who last changed them: canonical JSON."""
    house = answer.view.house
    head = reader.head()
    assert head is not None
    rules = {rule: house.rules.value(rule) for rule in sorted(house.rules.names)}
    changed = [
        {"entry": entry, "rule": rule, "value": value, "by": by}
        for entry, rule, value, by in reader.iterate('SELECT entry, rule, value, "by" FROM rules ORDER BY entry')
        if house.rules.set_by.get(rule) == entry
    ]
    takes = [
        {
            "entry": claim.take.entry if claim.take is not None else None,
            "take": claim.label,
            "project": claim.take.project if claim.take is not None else None,
            "stretches": [[lo, hi, spell(mask)] for lo, hi, mask in claim.live],
        }
        for claim in answer.recording.claims
    ]
    content = {
        "what": "certificate of a wipe permit",
        "house": reader.house_id,
        "reel": answer.reel,
        "by": who,
        "second": second,
        "at": datetime_of(now_us).isoformat(),
        "day": date_of(house.as_of.day).isoformat(),
        "journal": {"line": head.line, "sha256": head.sha256},
        "length": answer.view.length,
        "takes": takes,
        "transfers": [_transfer_proof(reader, answer, transfer) for transfer, _ in transfers_relied_on(answer)],
        "notes": [reason.says for reason in answer.reasons if reason.about == "recording"],
        "rules": rules,
        "rules_set": changed,
    }
    return json.dumps(content, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def _transfer_proof(reader: Reader, answer: Advice, transfer: Transfer) -> dict[str, Any]:
    house = answer.view.house
    checks = [
        {"copy": check.copy, "date": _when(check.day, check.at_us), "manifest_sha256": check.manifest_sha256}
        for check in sorted(house.keyed("copy_checks", transfer.transfer))
        if check.result == "pass" and check.method == "read"
    ]
    voided = reader.voided()
    sql = 'SELECT entry, "copy", path, bytes, sha256, track FROM copy_files WHERE transfer = ? ORDER BY entry'
    files = [row[1:] for row in reader.raw(sql, (transfer.transfer,)) if row[0] not in voided]
    return {
        "entry": transfer.entry,
        "transfer": transfer.transfer,
        "sample_rate_hz": transfer.sample_rate_hz,
        "bit_depth": transfer.bit_depth,
        "tracks": spell(transfer.tracks),
        "copies": [
            {"copy": copy.copy, "medium": copy.medium, "place": copy.place}
            for copy in sorted(house.keyed("copies", transfer.transfer))
        ],
        "checks": checks,
        "files": [list(row) for row in files],
    }


def _when(day: int | None, at_us: int | None) -> str | None:
    if at_us is not None:
        return datetime_of(at_us).isoformat()
    return date_of(day).isoformat() if day is not None else None


def certificate_lines(content: dict[str, Any]) -> list[str]:
    """A certificate as lines of text, for a page or a screen."""
    lines = [
        f"Certificate of a wipe: reel {content['reel']}",
        f"given to {content['by']} on {content['day']}"
        + (f", with {content['second']} as the second person" if content["second"] else ""),
        "",
        "What was on it:",
    ]
    for take in content["takes"] or [{"take": "nothing", "project": None, "stretches": []}]:
        project = f" ({take['project']})" if take["project"] else ""
        stretches = "; ".join(f"{feet(lo)} to {feet(hi)}, tracks {tracks}" for lo, hi, tracks in take["stretches"])
        lines.append(f"  {take['take']}{project}{': ' if stretches else ''}{stretches}")
    lines += ["", "Its proof:"]
    for transfer in content["transfers"] or []:
        lines.append(
            f"  transfer {transfer['transfer']}: {transfer['sample_rate_hz']} Hz, {transfer['bit_depth']} bit, "
            f"tracks {transfer['tracks']}"
        )
        lines += [f"    copy {copy['copy']} on {copy['medium']}, {copy['place']}" for copy in transfer["copies"]]
        lines += [
            f"    read {check['date']}: {check['manifest_sha256']} (copy {check['copy']})"
            for check in transfer["checks"]
        ]
        lines += [f"    file {path}: {sha256}" for _, path, _, sha256, _ in transfer["files"]]
    if not content["transfers"]:
        lines.append("  no transfer: nothing on it needed one, or it was given up by decision")
    lines += [f"  note: {note}" for note in content["notes"]]
    lines += ["", "House rules in force:"]
    context = Context(Calendar(content["rules"]["time_zone"]))
    lines += [
        f"  {name}: {spell_rule(name, str(value), context) if name in RULES_BY_NAME else value}"
        for name, value in content["rules"].items()
    ]
    lines += [f"  {rule['rule']} was last set by {rule['by']} (entry {rule['entry']})" for rule in content["rules_set"]]
    lines += [
        "",
        f"Journal before it: line {content['journal']['line']}, {content['journal']['sha256']}",
        f"Certificate: {content['certificate']}, journal line {content['journal_line']}, {content['journal_sha256']}",
    ]
    return lines
