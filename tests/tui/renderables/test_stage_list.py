"""The stage table on a screen: what is left out where there is less room."""

import re
from dataclasses import replace

import pytest

from pourcoach.reports.brew.stage_table import stage_rows
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.renderables.stage_list import draw_stage_list
from tests.reports.made_brew import last_frame
from tests.three_pours import PLAN

FULL_NOTE = "short bloom, stalled pour, brewer lifted"


@pytest.mark.parametrize(
    ("width", "headings"),
    [
        (96, ["STAGE", "POURED TO", "PLAN", "START", "PLAN", "FLOW g/s", "EVEN?", "NOTE"]),
        (95, ["STAGE", "POURED TO", "PLAN", "START", "EVEN?", "NOTE"]),
        (72, ["STAGE", "POURED TO", "PLAN", "START", "EVEN?", "NOTE"]),
        (71, ["STAGE", "POURED TO", "PLAN", "EVEN?", "NOTE"]),
        (55, ["STAGE", "POURED TO", "PLAN"]),
    ],
)
def test_with_less_room_columns_go(width: int, headings: list[str]) -> None:
    rows = stage_rows(last_frame(), PLAN)
    head, *lines = draw_stage_list(rows, None, width, 5, DARK).text().splitlines()
    assert re.split(r" {2,}", head.strip()) == headings
    assert [line.split()[:2] for line in lines[:3]] == [
        ["1", "bloom"],
        ["2", "pour"],
        ["3", "pour"],
    ]


@pytest.mark.parametrize(
    ("width", "note"),
    [(72, "short bloom, ..."), (80, "short bloom, stalled pour, ..."), (90, FULL_NOTE)],
)
def test_of_a_note_that_does_not_fit_whole_kinds_are_left_out(width: int, note: str) -> None:
    bloom, *others = stage_rows(last_frame(), PLAN)
    rows = [replace(bloom, even="yes, 4 %", note=FULL_NOTE), *others]
    _, line, *_ = draw_stage_list(rows, None, width, 5, DARK).text().splitlines()
    assert line.endswith(f"yes, 4 %  {note}")
