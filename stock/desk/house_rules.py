"""The house rules as people look at them, what others would make of the shelf, and setting them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, NamedTuple, cast

from stock.core.house import House
from stock.core.kinds import BY_NAME
from stock.core.moments import AsOf, Calendar, date_of
from stock.core.rule_groups import GROUPS, Group, group_of, rules_of, unit_of, why_of
from stock.core.rules import BY_NAME as RULES
from stock.core.rules import Grade, RuleDefinition
from stock.core.trial import JUDGED, Change, Effect, Standing, is_looser, standing, standings, under
from stock.core.verdict import Verdict
from stock.desk.desk import Desk, Receipt
from stock.desk.errors import CannotEnter, DeskError
from stock.desk.reading import some_reels, whole_house, zone_in_force
from stock.desk.shelf import Shelf
from stock.edge.cells import CellError, Context
from stock.edge.collecting import no_collecting
from stock.edge.problems import Problem
from stock.edge.rule_values import read_rule, rule_words, spell_rule, value_of
from stock.store.reader import Reader
from stock.store.writer import Writer

GUARDING = frozenset({"proof", "wipe", "files"})
"""Groups whose rules guard what is recorded: a looser one is asked about twice even where no reel changes today."""

_TELL_EVERY = 100
_MOST_NAMED = 3


class SetBy(NamedTuple):
    """The entry that set a rule. day: the local day it holds from, empty where that was not said."""

    entry: int
    by: str
    day: str
    note: str


class RuleLine(NamedTuple):
    """One house rule as it is in force. value, default: as one types them. set_by: None while nobody set it."""

    rule: RuleDefinition
    group: Group
    held: int | str
    value: str
    default: str
    set_by: SetBy | None

    @property
    def unit(self) -> str:
        return unit_of(self.rule)

    @property
    def why(self) -> str:
        return why_of(self.rule)

    @property
    def changed(self) -> bool:
        """Whether it is not the default any more."""
        return self.held != self.rule.default


class Tried(NamedTuple):
    """A rule that is tried. text: its value as the record would keep it; before, after: as one types them.

    looser: whether it asks for less than what is in force. same: whether it is what is in force.
    """

    rule: RuleDefinition
    text: str
    before: str
    after: str
    looser: bool
    same: bool

    @property
    def judged(self) -> bool:
        """Whether any verdict rests on it."""
        return self.rule.name in JUDGED


@dataclass(frozen=True)
class Trial:
    """What rules would change, as of a moment and the journal's line then."""

    tried: tuple[Tried, ...]
    effect: Effect
    as_of: AsOf
    line: int

    @property
    def loosens(self) -> bool:
        """Whether it is asked about twice: a reel becomes clear or blank, or what guards recordings asks for less."""
        return bool(self.effect.freed) or any(
            each.looser and group_of(each.rule.name).name in GUARDING for each in self.tried
        )


class StaleTrial(DeskError):
    code = "stale-trial"
    wording = "what it would change was worked out before {says}"
    remedy = "See what it would change now, then enter it."
    answers_no: ClassVar[bool] = True


def rule_lines(desk: Desk) -> tuple[AsOf, list[RuleLine]]:
    """Every house rule group by group, and the moment that is told for."""
    with desk.store.reading() as reader:
        calendar = Calendar(zone_in_force(reader))
        as_of = desk.as_of_in(calendar)
        rules = some_reels(reader, calendar, as_of, ()).rules
        told = {entry: _set_by(calendar, entry, *more) for entry, *more in reader.iterate(_SET)}
    return as_of, [
        RuleLine(
            rule,
            group,
            rules.value(rule.name),
            rule_words(rule, rules.value(rule.name)),
            rule_words(rule, rule.default),
            told.get(rules.set_by[rule.name]) if rule.name in rules.set_by else None,
        )
        for group in GROUPS
        for rule in rules_of(group)
    ]


_SET = 'SELECT entry, "by", day, at_us, note FROM rules'


def _set_by(calendar: Calendar, entry: int, by: Any, day: Any, at_us: Any, note: Any) -> SetBy:
    local = calendar.local_day(day, at_us)
    return SetBy(entry, by or "", "" if local is None else date_of(local).isoformat(), note or "")


def read_tried(asked: Mapping[str, str], context: Context) -> dict[str, str]:
    """The stored texts of values that somebody typed, by rule; read as `add rule` reads them. Raises CannotEnter."""
    found: dict[str, str] = {}
    problems: list[Problem] = []
    for name, typed in asked.items():
        try:
            found[name] = read_rule(name, typed, context)
        except CellError as error:
            problems.append(Problem("try", typed, error.expected, str(error)))
    if problems:
        raise CannotEnter(problems)
    return found


def try_rules(
    desk: Desk,
    asked: Mapping[str, str],
    *,
    shelf: Shelf | None = None,
    told: Callable[[int, int], None] = lambda done, total: None,
    stop: Callable[[], bool] = lambda: False,
) -> Trial | None:
    """What house rules would change, from what somebody typed by rule; nothing is written. Raises CannotEnter.

    shelf: a list of the house's reels that knows how they stand now, if it is up to date. told: called with how many
    reels are judged, of how many. None where `stop` said so.
    """
    with desk.store.reading() as reader:
        head = reader.head()
        assert head is not None
        calendar = Calendar(zone_in_force(reader))
        as_of = desk.as_of_in(calendar)
        texts = read_tried(asked, Context(calendar))
        values = {name: value_of(name, text) for name, text in texts.items()}
        rules = some_reels(reader, calendar, as_of, ()).rules
        tried = tuple(
            Tried(
                RULES[name],
                texts[name],
                rule_words(RULES[name], rules.value(name)),
                rule_words(RULES[name], value),
                is_looser(RULES[name], rules.value(name), value),
                rules.value(name) == value,
            )
            for name, value in values.items()
        )
        if not JUDGED & values.keys():
            return Trial(tried, Effect(0, ()), as_of, head.line)
        before = None if shelf is None else shelf.standings(reader, as_of.day)
        now, other = _houses(desk, reader, calendar, as_of, values)
    # the answers are worked out when the reading is over: it would keep others from entering facts
    reels = sorted(set(now.reel_numbers) & set(other.reel_numbers))
    stands = standings(now, reels) if before is None else ((reel, _standing(*before[reel])) for reel in reels)
    changes: list[Change] = []
    for done, change in enumerate(under(other, values, stands), 1):
        if stop():
            return None
        if change[1] != change[2]:
            changes.append(Change(*change))
        if done % _TELL_EVERY == 0:
            told(done, len(reels))
    return Trial(tried, Effect(len(reels), tuple(changes)), as_of, head.line)


def _standing(verdict: str, grade: str) -> Standing:
    return standing(cast("Verdict", verdict), cast("Grade | None", grade or None))


def _houses(
    desk: Desk, reader: Reader, calendar: Calendar, as_of: AsOf, values: Mapping[str, int | str]
) -> tuple[House, House]:
    """The house as it is, and as it would be under other rules; in another zone its days begin elsewhere."""
    with no_collecting():
        now = whole_house(reader, calendar, as_of)
        zone = values.get("time_zone")
        if zone is None:
            return now, now.with_rules(values)
        elsewhere = Calendar(str(zone))
        return now, whole_house(reader, elsewhere, desk.as_of_in(elsewhere)).with_rules(values)


def set_rules(desk: Desk, trial: Trial, *, by: str = "", note: str = "") -> Receipt:
    """Enter the rules of a trial as facts of one command. Raises StaleTrial where anything was entered since it was
    worked out, or another day has begun; CannotEnter."""

    def still_so(writer: Writer) -> None:
        head = writer.head()
        assert head is not None
        if head.line != trial.line:
            raise StaleTrial(says=_since(writer, trial.line))
        if desk.as_of_in(Calendar(zone_in_force(writer))).day != trial.as_of.day:
            raise StaleTrial(says="today began")

    kind, context = BY_NAME["rule"], desk.context()
    rows = [
        (
            kind,
            {
                "rule": each.rule.name,
                "value": spell_rule(each.rule.name, each.text, context),
                "by": by,
                "note": note,
            },
        )
        for each in trial.tried
    ]
    return desk.add_all(rows, "add rule", first=still_so)


def _since(reader: Reader, line: int) -> str:
    lines = reader.raw("SELECT what, who FROM journal WHERE line > ? ORDER BY line", (line,))
    said = [f"`{what}` by {who}" for what, who in lines[:_MOST_NAMED]]
    more = f" and {len(lines) - _MOST_NAMED} more entries" if len(lines) > _MOST_NAMED else ""
    return f"{', '.join(said)}{more}" if said else "the record was put back to an earlier state"


def _with_unit(line: RuleLine) -> str:
    """A rule's value and its unit; a unit that is a range of numbers stands apart from the value."""
    return f"{line.value} ({line.unit})" if line.unit[:1].isdigit() else f"{line.value} {line.unit}".strip()


def rule_values(desk: Desk) -> dict[str, str]:
    """The value in force of every house rule with its unit, and its default, by name."""
    return {
        line.rule.name: _with_unit(line) + (f" (default {line.default})" if line.changed else " (the default)")
        for line in rule_lines(desk)[1]
    }
