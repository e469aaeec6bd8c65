"""The table: RFC 4180, and no cell that a spreadsheet would work out."""

import csv
import io
from typing import Any

import pytest

from pourcoach.reports.csv_table import COLUMNS, csv_table
from tests.reports.hostile import HOSTILE

POUR: dict[str, Any] = {
    "start_s": 3.0, "end_g": 40.25, "mass_g": 40.25, "mean_flow_gps": 5.0, "flow_cv": None,
    "flow_cv_error": None,
}  # fmt: skip


def made(text: str, **changed: Any) -> dict[str, Any]:
    flag = {"kind": "stall", "stage": text}
    return {
        "recording": text, "recorded_at": text, "by": text, "headline": text, "water_g": -1.5,
        "brew_start_s": 4.0, "brew_s": None, "risk": "low", "marks": None, "plan": None,
        "flags": [flag, flag], "pours": [POUR | {"stage": text}],
    } | changed  # fmt: skip


def read(table: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(table, newline="")))


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: ascii(text[:12]))
def test_no_text_starts_a_formula_and_all_of_it_is_there(text: str) -> None:
    (row,) = read(csv_table([made(text)]))
    assert set(row) == set(COLUMNS)
    for column in ("recording", "recorded_at", "by", "headline", "stage"):
        assert row[column].removeprefix("'") == text
        assert row[column][:1] not in ("=", "+", "-", "@", "\t", "\r")


def test_numbers_stay_numbers() -> None:
    """A negative one is no formula."""
    (row,) = read(csv_table([made("x")]))
    assert (row["water_g"], row["stage_start_s"], row["stage_end_g"]) == ("-1.5", "-1.0", "40.25")
    assert row["flow_cv"] == ""
    assert row["findings"] == "stall"


def test_a_brew_without_pours_has_a_row_and_lines_end_as_they_should() -> None:
    table = csv_table([made("x", pours=[]), made("y")])
    assert [row["stage"] for row in read(table)] == ["", "y"]
    assert table.count("\r\n") == table.count("\n") == 3
