"""How what is typed is understood, beside the field it is typed in."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.core.kinds import BY_NAME
from stock.core.moments import Calendar
from stock.edge.cells import Context
from tests.tui.reel_fixtures import demo_desk, keys, page_of
from tui.dialogs.entry import EntryDialog
from tui.present.understood import understood
from tui.widgets.field_row import FieldRow

CONTEXT = Context(Calendar("Europe/Berlin"))


@pytest.mark.parametrize(
    ("kind", "field", "typed", "speed", "says"),
    [
        # 1200 ft at 15 in/s is 16:00, 600 ft at 30 in/s 4:00: computed from exact definitions
        ("splice", "at", "1200 ft", "15 ips", "1200 ft from the head, 16:00 of tape"),
        ("splice", "at", "600 ft", "30 ips", "600 ft from the head, 4:00 of tape"),
        ("splice", "at", "365.76 m", "", "1200 ft from the head"),
        ("splice", "at", "16:00", "15 ips", "16:00 by the counter, 1200 ft from its zero"),
        ("splice", "at", "16:00", "quickly", "16:00 by the counter"),
        ("splice", "at", "01:00:00:00", "15 ips", "a timecode"),
        ("splice", "at", "9 kg", "15 ips", ""),
        ("splice", "at", "", "15 ips", ""),
        ("splice", "speed", "38.1 cm/s", "", "15 ips, 38.1 cm/s"),
        ("splice", "date", "2026-11-25", "", "Wednesday, 2026-11-25"),
        ("splice", "date", "2026-11-25T10:00", "", "Wednesday, 2026-11-25 10:00"),
        ("splice", "note", "anything", "", ""),
        ("pass", "tracks", "1-8,13", "", "9 tracks"),
        ("length", "length", "762 m", "", "2500 ft, 762 m"),
        ("response", "frequency_hz", "10 kHz", "", "10000 Hz"),
    ],
)
def test_what_is_typed_is_told_in_words(kind: str, field: str, typed: str, speed: str, says: str) -> None:
    assert understood(BY_NAME[kind].field(field), typed, speed, CONTEXT) == says


async def test_it_stands_beside_the_field_and_goes_with_what_was_typed(tmp_path: Path) -> None:
    with demo_desk(tmp_path) as desk:
        async with page_of(desk, "M-0107") as (app, pilot):
            await keys(pilot, "a", "s")
            form = app.screen
            assert isinstance(form, EntryDialog)
            (at,) = (row for row in form.query(FieldRow) if row.column == "at")
            assert str(at.query_one(".help").render()) == "300 ft, 2:10"
            await pilot.press(*"60ft")
            await keys(pilot, "enter")
            assert str(at.query_one(".help").render()) == "= 60 ft from the head, 0:48 of tape"
            form.put({"speed": "30 ips"})
            await keys(pilot, "tab")
            assert str(at.query_one(".help").render()) == "= 60 ft from the head, 0:24 of tape"
            form.put({"at": "0 ft"})
            await keys(pilot, "tab")
            assert str(at.query_one(".help").render()) == "300 ft, 2:10"
