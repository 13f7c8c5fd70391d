"""The values of house rules: what people type, and the text the record keeps."""

from __future__ import annotations

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from stock.core.kinds import Field
from stock.core.measure import SECOND, Speed
from stock.core.rules import BY_NAME, RuleDefinition
from stock.core.words import feet, speed_words
from stock.edge.cells import CellError, Context, parse, spell

_CELLS = {"count": "count", "thousandths": "thousandths", "length": "length", "speed": "speed", "share": "share"}


def _field(name: str, cell: str) -> Field:
    return Field(name, cell, True)  # type: ignore[arg-type]


def in_db(name: str) -> bool:
    """Whether a rule's value is a number of decibels."""
    return name.startswith("response_fall") or name.endswith("_db")


def read_rule(name: str, text: str, context: Context) -> str:
    """The stored text of a rule's value; CellError where there is no such rule or the value is not one of its kind."""
    rule = BY_NAME.get(name)
    if rule is None:
        raise CellError.of(name, "is not a house rule", f"one of {', '.join(sorted(BY_NAME))}")
    if rule.cell == "zone":
        try:
            return ZoneInfo(text).key
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise CellError.of(text, "is not a time zone", "an IANA zone", "`Europe/Oslo`") from None
    if rule.cell == "time":
        bare = text.strip()
        text = f"{bare} s" if bare.replace(".", "", 1).isdecimal() else bare
        cell = "time"
    elif name.endswith("_hz"):
        cell = "hertz"
    else:
        cell = _CELLS[rule.cell]
        if in_db(name):
            text = text.strip().removesuffix("dB").strip()
    value, *rest = parse(_field(name, cell), text, context)
    if any(rest):
        raise CellError.of(text, "has varispeed", "a nominal speed", "`15 ips`")
    return str(value)


def spell_rule(name: str, stored: str, context: Context) -> str:
    """A rule's stored text as `read_rule` takes it."""
    rule = BY_NAME[name]
    if rule.cell == "zone":
        return stored
    cell = "time" if rule.cell == "time" else "hertz" if name.endswith("_hz") else _CELLS[rule.cell]
    values: tuple[int | None, ...] = (int(stored), None) if cell == "speed" else (int(stored),)
    return spell(_field(name, cell), values, context)


def value_of(name: str, stored: str) -> int | str:
    """A rule's stored text as the house holds it: a number in its stored unit, or the name of a zone."""
    return stored if BY_NAME[name].cell == "zone" else int(stored)


def rule_words(rule: RuleDefinition, value: int | str) -> str:
    """A rule's stored value as one types it."""
    if isinstance(value, str):
        return value
    if rule.cell == "length":
        return feet(value)
    if rule.cell == "speed":
        return speed_words(Speed(value))
    if rule.cell == "time":
        return f"{_decimal(value, SECOND)} s"
    if rule.cell in ("thousandths", "share"):
        return f"{_decimal(value, 1000)}{' dB' if in_db(rule.name) else ''}"
    return f"{value} Hz" if rule.name.endswith("_hz") else str(value)


def _decimal(value: int, one: int) -> str:
    """A count of parts as a decimal number without idle zeros; `one` is a power of ten."""
    whole, part = divmod(value, one)
    digits = str(part).zfill(len(str(one)) - 1).rstrip("0")
    return f"{whole}.{digits}" if digits else str(whole)
