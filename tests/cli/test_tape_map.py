"""The map of a reel along its tape."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from stock.cli.demo import NOW_US
from stock.cli.settings import Settings
from stock.cli.tape_map import tape_map
from stock.core import map_signs
from stock.core.map_signs import LEADER, PROOF, SHADES, SPLICES
from stock.core.verdict import Advice


@pytest.fixture(scope="module")
def advice(loaded_house: Path) -> Iterator[dict[str, Advice]]:
    with Settings(database=str(loaded_house), now_us=lambda: NOW_US).asking() as desk:
        yield {answer.reel: answer for answer in desk.advise()}


def lanes(lines: list[str]) -> dict[str, str]:
    """The first lane of each label, its columns alone."""
    found: dict[str, str] = {}
    for line in lines[: lines.index("")]:
        found.setdefault(line[:8].strip(), line[8:])
    return found


def test_rulers_lie_at_their_places(advice: dict[str, Advice]) -> None:
    drawn = lanes(tape_map(advice["M-0155"], 108))
    # 2500 ft are 33:20 at 15 in/s: 100 columns of 25 ft and 20 s each
    assert drawn["feet"].startswith("0")
    assert drawn["feet"].index("400") == 16
    assert drawn["feet"].index("1000") == 40
    assert drawn["time"].index("20:00") == 60
    assert drawn["time"].index("30:00") == 90


def test_a_blank_reel_shows_what_is_fit_and_nothing_live(advice: dict[str, Advice]) -> None:
    lines = tape_map(advice["M-0155"], 108)
    drawn = lanes(lines)
    # head 25 ft (15 s are 18.75 ft) is one column, the tail of 30 s reaches into two
    assert drawn["fit"] == "╱" + "C" * 97 + "╱╱"
    assert "proof" not in drawn
    assert "C fit for critical" in "\n".join(lines)


def test_live_takes_show_what_is_proved_and_what_is_not(advice: dict[str, Advice]) -> None:
    lines = tape_map(advice["M-0151"], 108)
    drawn = lanes(lines)
    # the punched-in stretch, 162.5 ft to 202.5 ft, lies in columns 6 to 8
    assert [at for at, sign in enumerate(drawn["proof"]) if sign == "▓"] == [6, 7, 8]
    assert "├2 Lamplight" in "\n".join(lines)
    key = " ".join("\n".join(lines).split())
    assert "take Lamplighter/2: 1:00 to 5:12 (75 ft to 390 ft), tracks 1-24, not safe yet" in key
    assert "take Lamplighter/1: 0:20 to 0:50 (25 ft to 62.5 ft), tracks 1-24, may go by decision" in key


def test_wear_is_numbered_where_it_changes(advice: dict[str, Advice]) -> None:
    lines = tape_map(advice["H-0308"], 80)
    shades, numbers = (line[8:] for line in lines if line.startswith("wear") and "higher" not in line)
    assert numbers.split() == ["10", "9", "7"]
    assert shades.startswith("█")


def test_splices_findings_marks_and_holds_have_their_signs(advice: dict[str, Advice]) -> None:
    failed = tape_map(advice["Q-0406"], 80)
    assert "x" in lanes(failed)["splice"]
    assert "failed repair splice at 6:24" in "\n".join(failed)
    assert lanes(tape_map(advice["M-0115"], 80))["finding"].strip()
    assert "h" in lanes(tape_map(advice["M-0112"], 80))["hold"]
    assert any("S" in lanes(tape_map(answer, 80)).get("mark", "") for answer in advice.values())
    assert any("Z" in lanes(tape_map(answer, 80)).get("mark", "") for answer in advice.values())


def test_takes_that_overlap_stand_in_lanes_of_their_own(advice: dict[str, Advice]) -> None:
    deepest = 0
    for answer in advice.values():
        claims = answer.recording.claims
        lines = tape_map(answer, 120)
        boxed = [line for line in lines[: lines.index("")] if line.startswith(("takes", "        "))]
        starts = {cell[0] for claim in claims for cell in claim.live}
        depth = max((sum(any(lo <= at < hi for lo, hi, _ in c.live) for c in claims) for at in starts), default=0)
        assert len(boxed) >= depth
        assert bool(boxed) == bool(claims)
        for number in range(1, len(claims) + 1):
            assert any(line.startswith(f"{number:5}  take ") for line in lines)
        deepest = max(deepest, depth)
    assert deepest > 1


@pytest.mark.parametrize("width", [60, 80, 121])
def test_no_line_is_wider_than_asked(advice: dict[str, Advice], width: int) -> None:
    for answer in advice.values():
        assert max(map(len, tape_map(answer, width))) <= width


def test_a_terminal_that_cannot_show_the_signs_gets_plain_ones(
    advice: dict[str, Advice], monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn = tape_map(advice["M-0151"], 108)
    with monkeypatch.context() as ascii_only:
        ascii_only.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO(), encoding="ascii"))
        plain = tape_map(advice["M-0151"], 108)
    assert [len(line) for line in plain] == [len(line) for line in drawn]
    assert all(line.isascii() for line in plain)
    lane = lanes(plain)["proof"]
    assert [at for at, sign in enumerate(lane) if sign == "#"] == [6, 7, 8]
    for lane_signs in (PROOF.values(), SHADES, (*SPLICES.values(), LEADER)):
        assert len({map_signs.plain(sign) for sign in lane_signs}) == len(set(lane_signs)), "still told apart"


def test_the_signs_drawn_are_all_in_the_legend(advice: dict[str, Advice]) -> None:
    for answer in advice.values():
        lines = tape_map(answer, 80)
        legend = "\n".join(lines[lines.index("") :])
        for lane in ("fit", "proof", "splice", "mark", "hold"):
            for sign in set(lanes(lines).get(lane, "")) - {" "}:
                assert f"{sign} " in legend
