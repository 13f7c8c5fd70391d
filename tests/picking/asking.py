"""Requests as tests write them, and what a studio answers."""

from __future__ import annotations

from typing import Any

from stock.core.measure import IPS, MINUTE, SECOND, Speed
from stock.core.picking.candidates import Candidate, Rejected, candidates
from stock.core.picking.request import Request
from stock.core.verdict import Judge
from stock.planning.plan import Plan, plan
from tests.core.builder import Studio

FOOT = 3048
NINE = 9 * MINUTE
IPS_15 = Speed(15 * IPS)
SECOND_OF_TAPE = 3810
"""At 15 in/s."""


def ask(*takes: int, **terms: Any) -> Request:
    """A request for takes of so many microseconds at 15 in/s, or as the terms say."""
    return Request(takes or (3 * MINUTE,), **{"speed": IPS_15, **terms})


def offered(studio: Studio, request: Request) -> tuple[dict[str, Candidate], dict[str, Rejected]]:
    """The studio's candidates and rejected reels, by number."""
    found, rejected = candidates(Judge(studio.house()), request)
    return {row.reel: row for row in found}, {row.reel: row for row in rejected}


def codes(studio: Studio, request: Request, reel: str = "R1") -> set[str]:
    """Why a reel may not serve; empty where it may."""
    _, rejected = offered(studio, request)
    return set(rejected[reel].codes) if reel in rejected else set()


def planned(studio: Studio, request: Request) -> Plan | None:
    house = studio.house()
    found, _ = candidates(Judge(house), request)
    return plan(found, request, house.rules)


def seconds(tenths: int) -> float:
    """Playing time at 15 in/s of so many tenths of a millimetre."""
    return tenths / SECOND_OF_TAPE


__all__ = ["FOOT", "IPS_15", "MINUTE", "NINE", "SECOND", "ask", "codes", "offered", "planned", "seconds"]
