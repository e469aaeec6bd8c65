"""The page of one brew."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

from pourcoach.domain.brew_clock import clock
from pourcoach.domain.printable import printable
from pourcoach.domain.units import Seconds
from pourcoach.reports.brew.brew_report import BrewReport
from pourcoach.reports.brew.marks_table import marks_heading, marks_rows, replan_notes
from pourcoach.reports.brew.plain_review import MARKED
from pourcoach.reports.brew.verdict import judged_risk
from pourcoach.reports.charts.brew_chart import brew_chart
from pourcoach.reports.charts.fault_marks import numbered
from pourcoach.reports.pages.environment import page

_STEPS_S: tuple[Seconds, ...] = (10.0, 15.0, 30.0, 60.0, 300.0)
_MOST_POINTS = 40
"""Of the table beside a chart: what can still be read through."""


class LargeFigure(NamedTuple):
    """One figure that is set large."""

    title: str
    figure: str
    beside: str = ""


@dataclass(frozen=True, slots=True)
class _MarksTable:
    heading: str
    rows: tuple[dict[str, Any], ...]
    notes: tuple[str, ...]


def brew_page(brew: BrewReport) -> str:
    """The page as HTML."""
    return page(
        "brew.html.j2",
        brew=brew,
        recording=printable(Path(brew.recording).name),
        facts=list(_facts(brew)),
        drawing=brew_chart(brew),
        points=list(curve_rows(brew)),
        numbers=_Numbers(brew),
        marked=MARKED,
        marks=_marks(brew),
    )


class _Numbers:
    """The number of a flag on the chart. A flag holds a mapping, so that it has no hash."""

    def __init__(self, brew: BrewReport) -> None:
        self._numbers = {id(finding.flag): number for number, finding in numbered(brew)}

    def __getitem__(self, flag: object) -> int:
        return self._numbers[id(flag)]


def _facts(brew: BrewReport) -> Iterator[LargeFigure]:
    last, plan = brew.last, brew.plan
    if last is None or last.pour.brew_s is None:
        return
    pour = last.pour
    what = "Coffee" if brew.dripped else "Water"
    planned = "" if plan is None else f"{plan.water_g:g} g planned"
    yield LargeFigure(what, f"{pour.water_g:.1f} g", planned + (" to be poured" * brew.dripped))
    if plan is not None and not brew.dripped:
        yield LargeFigure(
            "Ratio", f"1:{pour.water_g / plan.dose_g:.1f}", f"1:{plan.ratio:g} planned"
        )
    finish = "" if plan is None else f"{clock(plan.finish_s)} planned"
    yield LargeFigure("Time", clock(last.pour.brew_s or 0.0), finish)
    if brew.marks is not None and brew.marks.judged:
        yield LargeFigure(
            "Marks met", f"{brew.marks.met} of {brew.marks.judged}", brew.marks.rubric
        )
    elif (risk := judged_risk(last, brew.arrangement)) is not None:
        yield LargeFigure("Channeling risk", risk.value, "from the pour")


def curve_rows(brew: BrewReport) -> Iterator[dict[str, str]]:
    """The curve as a table, at even steps of time."""
    span_s = brew.curve.end_s
    step_s = next((step for step in _STEPS_S if span_s / step <= _MOST_POINTS), span_s)
    plan = None if brew.dripped else brew.plan
    for number in range(int(span_s / step_s) + 1 if span_s > 0 else 0):
        brew_s = number * step_s
        point = brew.curve.at(brew_s) or brew.curve.points[0]
        target_g = None if plan is None else plan.target_g(brew_s)
        yield {
            "time": clock(brew_s),
            "poured": f"{point.mass_g:.1f} g",
            "planned": "–" if target_g is None else f"{target_g:.0f} g",
            "off": "–" if target_g is None else f"{point.mass_g - target_g:+.1f} g",
            "flow": "–" if brew.dripped else f"{max(0.0, point.flow_gps):.1f} g/s",
        }


def _marks(brew: BrewReport) -> _MarksTable | None:
    marks = brew.marks
    if marks is None or not marks.judged or brew.last is None:
        return None
    rows = tuple(
        row._asdict() | {"missed": mark.met is False}
        for row, mark in zip(marks_rows(marks), marks.marks, strict=True)
    )
    notes = tuple(replan_notes(marks, brew.last.pour.brew_start_s))
    return _MarksTable(marks_heading(marks), rows, notes)
