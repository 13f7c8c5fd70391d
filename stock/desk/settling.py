"""The values of a fact with what they stand for looked up, or what the record cannot bear of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from stock.core.facts import Value
from stock.core.kinds import BY_NAME, Kind
from stock.core.moments import AsOf, date_of
from stock.core.rules import BY_NAME as RULES
from stock.desk.decisions import Decisions
from stock.desk.laying import Ground, Refusal, reader_of
from stock.desk.voids import Voids
from stock.edge.cells import CellError, Context
from stock.edge.rule_values import read_rule

Values = tuple[Value, ...]
Settle = Callable[[Values], Values]
"""Gives the values of a fact as they are stored. Raises Refusal."""


class Settling:
    """What settles the facts of a batch. now: the moment nothing may lie ahead of."""

    def __init__(self, now: AsOf, ground: Ground, decisions: Decisions, voids: Voids) -> None:
        self._now = now
        self._ground = ground
        self._decisions = decisions
        self._voids = voids

    def of(self, kind: Kind) -> Settle:
        """What settles facts of a kind."""
        own = self._own(kind)
        at = reader_of(kind).at
        if "day" not in at:
            return own or _as_it_is
        day, at_us, has = at["day"], at["at_us"], self._now.has

        def settle(values: Values) -> Values:
            dated: Sequence[Any] = values
            if not has(dated[day], dated[at_us]):
                raise self._ahead("date")
            return values if own is None else own(values)

        return settle

    def _own(self, kind: Kind) -> Settle | None:
        """What is done for one kind alone."""
        if kind.name in ("edit", "length"):
            return partial(self._on_known_reels, kind)
        # not kept: methods kept by their own object would keep all facts of the batch until cycles are looked for
        return {
            "reel": self._reel,
            "rule": self._rule,
            "decision": self._decisions.settle,
            "void": self._void,
        }.get(kind.name)

    def _ahead(self, column: str) -> Refusal:
        return Refusal(column, "it lies ahead of now", f"no later than {date_of(self._now.day).isoformat()}")

    def _reel(self, values: Values) -> Values:
        if not self._now.has(reader_of(BY_NAME["reel"]).get(values, "acquired"), None):
            raise self._ahead("acquired")
        return values

    def _on_known_reels(self, kind: Kind, values: Values) -> Values:
        """Refusal where an edit or a length is of a reel that the layouts do not know."""
        for column in ("reel", "to_reel"):
            reel = reader_of(kind).get(values, column)
            if reel is not None and reel not in self._ground.lengths:
                raise Refusal(column, f"there is no reel {reel}", "the number of a reel that is entered")
        return values

    def _rule(self, values: Values) -> Values:
        reader = reader_of(BY_NAME["rule"])
        settled = list(values)
        name, value = str(reader.get(values, "rule")), str(reader.get(values, "value"))
        try:
            settled[reader.at["value"]] = read_rule(name, value, Context(self._ground.calendar))
        except CellError as error:
            raise Refusal("rule" if name not in RULES else "value", str(error), error.expected) from None
        return tuple(settled)

    def _void(self, values: Values) -> Values:
        self._voids.find(reader_of(BY_NAME["void"]).get(values, "target"))
        return values


def _as_it_is(values: Values) -> Values:
    return values
