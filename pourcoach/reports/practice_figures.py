"""Progress as figures and as text: command line, screen and report say the same."""

from collections.abc import Sequence
from typing import Any

from pourcoach.practice.drill.measure import UNITS, PourMeasure
from pourcoach.practice.progress.progress import DrillProgress, Group, nothing_yet
from pourcoach.wording.progress import ASSIST_IS_NO_SKILL, progress_sentences


def progress_figures(found: DrillProgress) -> dict[str, Any]:
    """By JSON key; null where there is too little. ``trend`` is of the size of errors, a day."""
    trend, curve = found.trend, found.curve
    return {
        "drill": found.drill,
        "measure": found.measure.value,
        "unit": UNITS[found.measure],
        "tests": found.tests,
        "bias": found.bias,
        "spread": found.spread,
        "interval": None if found.interval is None else list(found.interval),
        "trend": None if trend is None else trend.slope,
        "trend_interval": None if trend is None else [trend.slope_low, trend.slope_high],
        "error": found.error,
        "error_interval": None if found.error_interval is None else list(found.error_interval),
        "in_band": found.success[0],
        "judged": found.success[1],
        "learning": None
        if curve is None
        else {
            "level": curve.level,
            "level_interval": list(curve.level_interval),
            "gain": curve.gain,
            "rate": curve.rate,
            "pours": curve.pours,
        },
        "train": _group(found.train),
        "assist": _group(found.assist),
        "estimate_errors": list(found.estimates),
    }


def unpractised_figures(drill: str, measure: PourMeasure) -> dict[str, Any]:
    """The same of a drill that nobody has poured yet."""
    return progress_figures(nothing_yet(drill, measure))


def progress_lines(found: Sequence[DrillProgress]) -> list[str]:
    """For people; a plain sentence where nothing was practised."""
    if not found:
        return ["Nothing was practised yet.", ASSIST_IS_NO_SKILL]
    lines: list[str] = []
    for drill in found:
        lines += ["", drill.title, *(f"  {line}" for line in progress_sentences(drill))]
    return [*lines, "", ASSIST_IS_NO_SKILL]


def _group(group: Group) -> dict[str, Any]:
    return {
        "pours": group.pours,
        "bias": group.bias,
        "spread": group.spread,
        "in_band": group.in_band,
        "judged": group.judged,
    }
