"""Brews as a table for a spreadsheet: RFC 4180, a row a stage.

No cell can start a formula: a text that a spreadsheet would take for one has an apostrophe before
it. Numbers stay numbers, a negative one too.
"""

import csv
from collections.abc import Iterable, Iterator, Mapping
from io import StringIO
from typing import Any

COLUMNS = (
    "recording", "recorded_at", "by", "headline", "water_g", "planned_water_g", "dose_g", "brew_s",
    "planned_brew_s", "marks_met", "marks_of", "risk", "findings", "stage", "stage_start_s",
    "planned_start_s", "stage_end_g", "planned_end_g", "stage_mass_g", "mean_flow_gps",
    "planned_flow_gps", "flow_cv", "flow_cv_error", "stage_findings",
)  # fmt: skip
"""The first thirteen are of the brew, and stand in each of its rows; times count from the first
water."""
_STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""What makes a cell a formula, or ends one and begins another (common practice)."""


def csv_table(brews: Iterable[Mapping[str, Any]]) -> str:
    """``brews`` are what ``figures`` gives. A brew in which nothing was poured has one row."""
    file = StringIO(newline="")
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for brew in brews:
        writer.writerows([_cell(row.get(column)) for column in COLUMNS] for row in _rows(brew))
    return file.getvalue()


def _rows(brew: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    plan: Mapping[str, Any] = brew["plan"] or {}
    marks: Mapping[str, Any] = brew["marks"] or {}
    whole = {
        "recording": brew["recording"],
        "recorded_at": brew["recorded_at"],
        "by": brew["by"],
        "headline": brew["headline"],
        "water_g": brew["water_g"],
        "planned_water_g": plan.get("water_g"),
        "dose_g": plan.get("dose_g"),
        "brew_s": brew["brew_s"],
        "planned_brew_s": plan.get("finish_s"),
        "marks_met": marks.get("met"),
        "marks_of": marks.get("judged"),
        "risk": brew["risk"],
        "findings": _kinds(brew["flags"]),
    }
    planned = {stage["name"]: stage for stage in plan.get("stages", ())}
    start_s = brew["brew_start_s"] or 0.0
    for pour in brew["pours"]:
        stage = planned.get(pour["stage"], {})
        yield whole | {
            "stage": pour["stage"],
            "stage_start_s": round(pour["start_s"] - start_s, 3),
            "planned_start_s": stage.get("start_s"),
            "stage_end_g": pour["end_g"],
            "planned_end_g": stage.get("to_g"),
            "stage_mass_g": pour["mass_g"],
            "mean_flow_gps": pour["mean_flow_gps"],
            "planned_flow_gps": stage.get("flow_gps"),
            "flow_cv": pour["flow_cv"],
            "flow_cv_error": pour["flow_cv_error"],
            "stage_findings": _kinds(
                flag for flag in brew["flags"] if flag["stage"] == pour["stage"]
            ),
        }
    if not brew["pours"]:
        yield whole


def _kinds(flags: Iterable[Mapping[str, Any]]) -> str:
    return " ".join(dict.fromkeys(flag["kind"] for flag in flags))


def _cell(value: object) -> object:
    if isinstance(value, str) and value.startswith(_STARTS_FORMULA):
        return f"'{value}"
    return "" if value is None else value
