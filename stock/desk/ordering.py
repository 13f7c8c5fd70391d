"""The order plan of a house: what somebody asks read, the record's quotes and orders laid beside the need."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from threading import Lock
from typing import Any

from stock.core.measure import IPS
from stock.core.rules import Rules
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter, DeskError
from stock.desk.forecasting import Asked as ForecastAsked
from stock.desk.forecasting import Forecaster
from stock.desk.order_cells import Asked, asked_of
from stock.desk.purchases import Purchases, purchases
from stock.edge.cells import minor_units
from stock.edge.problems import Problem
from stock.planning.need import Need
from stock.planning.ordering.ask import Ask, BadLock, budget_troubles, month_of
from stock.planning.ordering.offers import Change, Scenario, Trouble, last_day, offers_of, tiers
from stock.planning.ordering.plan import OrderPlan, plan
from stock.planning.ordering.solve import LIMIT_S

Needs = Callable[[int | None], list[Need]]
"""The need at a service level in thousandths (None: the house's own)."""

_SOON = 56
"""Days until the rise that is looked at beside every plan."""
_PROJECTS_DROPPED = 3

STEPS = (500, 800, 900, 950, 990)
"""Service levels, in thousandths, among which the next cheaper and the next safer plan are looked for."""


class NoNeed(DeskError):
    code = "no-need"
    wording = "nothing says what is needed"
    remedy = "Enter projects ahead with their first day and takes, or name the need: ITEM=REELS@DATE."


@dataclass
class Planned:
    """A plan and what it was made of. service: thousandths, None where the need was typed. notes: in plain words."""

    plan: OrderPlan
    ask: Ask
    currency: str
    service: int | None
    notes: list[str]
    needs: list[Need]
    read: Purchases


@dataclass
class Row:
    """One scenario: its name in words, the plan under it, and what today's plan would cost if it came to that.

    unchanged: None where that says nothing; lost: where some of it could not be ordered then.
    """

    says: str
    plan: OrderPlan
    unchanged: int | None
    lost: bool = False


class Buyer:
    """Makes order plans on one house; what it reads, it reads anew for each plan.

    needs: the need at a service level, the house's own forecast where not given. limit_s: how long a solver may take.
    stop: says whether nobody waits any more. Several threads may ask at once.
    """

    def __init__(
        self,
        desk: Desk,
        needs: Needs | None = None,
        *,
        limit_s: float = LIMIT_S,
        stop: Callable[[], bool] = lambda: False,
    ) -> None:
        self._desk = desk
        self._needs = needs
        self._limit_s = limit_s
        self._stop = stop
        self._forecasting = Lock()
        self._forecaster: Forecaster | None = None

    def _forecast(self, service: int | None, **changes: Any) -> list[Need]:
        if self._needs is not None:
            return self._needs(service)
        with self._forecasting:
            if self._forecaster is None:
                self._forecaster = Forecaster(self._desk)
            return list(self._forecaster.forecast(ForecastAsked(service=service, **changes)).forecast.needs)

    def asked(self, cells: Mapping[str, Any]) -> Asked:
        """What somebody typed, read. Raises CannotEnter."""
        return asked_of(cells, self._desk.context())

    def plan(self, asked: Asked) -> Planned:
        """The plan. Raises CannotEnter, NoNeed."""
        with self._desk.store.reading() as reader:
            house = self._desk.house(())
            read = purchases(reader, house.calendar, house.as_of)
        offers, troubles, currency = offers_of(read.quotes, read.today, asked.currency)
        service = None if asked.needs else asked.service or house.rules.number("service_level")
        needs = self._need(asked, read.today)
        kept = currency or asked.currency or ""
        ask = Ask(
            needs,
            [offer for offer in offers if offer.supplier not in asked.without],
            read.today,
            read.coming(),
            _budgets(asked, kept, house.rules, read.today, needs),
            read.committed(kept),
            asked.locks,
            asked.scenario(kept),
            house.rules.number("holding_share"),
            house.rules.number("left_over_share"),
            self._limit_s,
            self._stop,
        )
        try:
            made = plan(ask)
        except BadLock as bad:
            said = f"{bad.lock.supplier}:{bad.lock.stock_item}={bad.lock.quantity}"
            raise CannotEnter([Problem("lock", said, "a line that can be ordered", bad.says)]) from None
        return Planned(made, ask, kept, service, _notes(ask, read, troubles), needs, read)

    def _need(self, asked: Asked, today: int) -> list[Need]:
        if asked.needs:
            return asked.typed_needs(today)
        found = self._forecast(asked.service)
        if not found:
            raise NoNeed()
        return found

    def beside(self, asked: Asked, made: Planned) -> tuple[Planned | None, Planned | None]:
        """The next cheaper and the next safer plan: at the service level below and above; None for a typed need."""
        if made.service is None:
            return None, None
        below = max((step for step in STEPS if step < made.service), default=None)
        above = min((step for step in STEPS if step > made.service), default=None)
        return (
            None if below is None else self.plan(replace(asked, service=below)),
            None if above is None else self.plan(replace(asked, service=above)),
        )

    def other_work(self, made: Planned) -> list[Row]:
        """The plan if the work were done otherwise: at another speed, wiped at once, or one project dropped.

        None of them for a need typed, of which nobody knows where it comes from.
        """
        if made.service is None or self._needs is not None:
            return []
        projects = Counter[str]()
        for line in made.plan.lines:
            projects.update({reason.project: reason.reels for reason in line.reasons})
        ways: list[tuple[str, dict[str, Any]]] = [
            ("all at 15 ips", {"speed": 15 * IPS}),
            ("all at 30 ips", {"speed": 30 * IPS}),
            ("all through into files", {"mode": "through"}),
            ("all kept until the mix", {"mode": "keep-all"}),
        ]
        biggest = sorted(projects, key=lambda name: (-projects[name], name))[:_PROJECTS_DROPPED]
        ways += [(f"without {name}", {"drop": (name,)}) for name in biggest]
        rows = []
        for says, changes in ways:
            needs = self._forecast(made.service, **changes)
            rows.append(Row(says, plan(replace(made.ask, needs=needs)), None))
        return rows


def scenarios(made: Planned) -> list[Row]:
    """The plan beside what it would be at other prices: all a tenth dearer, each supplier's end, a rise in a while."""
    ask = made.ask
    rows = [Row("as quoted", made.plan, made.plan.total)]
    suppliers = sorted({line.supplier for line in made.plan.lines})
    after = ask.today + _SOON
    others = [("all prices +10 %", _with_change(ask.scenario, Change(100)))]
    others += [(f"without {name}", _ended(ask.scenario, name, ask.today - 1)) for name in suppliers]
    others += [(f"all prices +10 % in {_SOON // 7} weeks", _with_change(ask.scenario, Change(100, after)))]
    for says, scenario in others:
        try:
            cost = unchanged(made, scenario)
            rows.append(Row(says, plan(replace(ask, scenario=scenario)), cost, cost is None))
        except BadLock:
            # a line set by hand is not for sale then
            continue
    return rows


def _with_change(scenario: Scenario, change: Change) -> Scenario:
    """A scenario with one more change of price."""
    return scenario._replace(changes=(*scenario.changes, change))


def _ended(scenario: Scenario, supplier: str, day: int) -> Scenario:
    return scenario._replace(ends=(*scenario.ends, (supplier, day)))


def unchanged(made: Planned, scenario: Scenario) -> int | None:
    """What the plan's own lines would cost in a scenario; None where one of them could not be ordered then."""
    of = {(offer.supplier, offer.stock_item): offer for offer in made.ask.offers}
    total = 0
    for line in made.plan.lines:
        offer = of[line.supplier, line.stock_item]
        last = last_day(offer, scenario)
        if last is not None and line.order_by > last:
            return None
        cases = line.quantity // offer.case
        for tier in tiers(offer, line.order_by, scenario):
            if tier.first <= cases <= tier.last:
                total += tier.base + tier.unit * line.quantity + line.fee
    return total


def _budgets(asked: Asked, currency: str, rules: Rules, today: int, needs: Sequence[Need]) -> dict[int, int]:
    """The budgets named, and the house's own for the other months; none where there is neither."""
    usual = rules.number("budget_month")
    last = max((need.weeks[-1] for need in needs if need.weeks), default=today)
    found = dict.fromkeys(range(month_of(today), month_of(last) + 1), minor_units(Decimal(usual), currency))
    return {**(found if usual else {}), **asked.budgets(currency)}


def _notes(ask: Ask, read: Purchases, troubles: Sequence[Trouble]) -> list[str]:
    """What the reader of a plan should know of quotes, orders and budgets left out or late."""
    wanted = {need.stock_item for need in ask.needs if need.service and need.service[-1]}
    elsewhere = [each for each in troubles if each.code == "other-currency"]
    others = [each for each in troubles if each.code != "other-currency"]
    notes = [f"{each.about}: {each.says}" for each in [*others, *budget_troubles(ask)]]
    for says in sorted({each.says for each in elsewhere}):
        names = sorted({each.about.rpartition(", ")[0] for each in elsewhere if each.says == says})
        notes.append(f"{', '.join(names)}: {says}")
    offered = {offer.stock_item for offer in ask.offers}
    notes += [f"{item}: nobody offers it" for item in sorted(wanted - offered)]
    notes += [
        f"order {row.order.order}: {row.open} of {row.order.quantity} not here, {row.late} days late"
        for row in read.standings()
        if row.late
    ]
    return notes
