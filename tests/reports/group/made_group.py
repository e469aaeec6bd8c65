"""Brews of a group from figures alone, without a recording."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from pourcoach.reports.group.group_brew import GroupBrew
from tests.three_pours import PLAN

BEGAN = datetime.fromisoformat("2026-03-02T09:00:00+01:00")
CURVE = tuple((t / 2, PLAN.target_g(t / 2)) for t in range(380))


def group_brew(
    by: str | None = "Ada",
    day: float = 0.0,
    kinds: Sequence[str] = (),
    *,
    landing: Sequence[float] = (0.01, -0.01),
    wait_s: float = 1.0,
    dated: bool = True,
    poured: bool = True,
    **changed: Any,
) -> GroupBrew:
    """A brew some days after the first; ``landing`` are shares of the mark off it."""
    marks = [
        _mark("Landing", "landing_off_share", -0.05, 0.05, share, f"pour {place}")
        for place, share in enumerate(landing, 1)
    ]
    marks.append(_mark("Bloom wait", "bloom_wait_off_s", -5.0, 15.0, wait_s, "pour 1"))
    met = sum(mark["met"] for mark in marks)
    flags = [{"kind": kind, "start_s": 40.0, "end_s": 42.0, "stage": "pour 1"} for kind in kinds]
    at = BEGAN + timedelta(days=day)
    return GroupBrew(
        {
            "recording": f"{by}-{day}.jsonl",
            "recorded_at": at.isoformat() if dated else None,
            "by": by,
            "brew_start_s": 4.0 if poured else None,
            "headline": kinds[0].upper() if kinds else "NO FAULT",
            "water_g": 320.0,
            "brew_s": 187.0,
            "practice": None,
            "pours": [{"stage": "bloom"}],
            "flags": flags,
            "plan": PLAN.as_dict(),
            "marks": {
                "met": met, "judged": len(marks), "met_share": met / len(marks), "criteria": marks
            },
        }
        | changed,
        CURVE,
    )  # fmt: skip


def _mark(
    title: str, measure: str, least: float, most: float, value: float, stage: str
) -> dict[str, Any]:
    return {
        "title": title, "measure": measure, "least": least, "most": most, "stage": stage,
        "value": value, "met": least <= value <= most,
    }  # fmt: skip


TWELVE_BREWS = tuple(
    group_brew(by, hour / 24, ["bloom-short"] if by == "Ben" else [])
    for by in ("Ada", "Ben", "Cleo")
    for hour in range(4)
)
GETTING_BETTER = tuple(
    group_brew("Cleo", day, landing=[0.09 - 0.0016 * day + wander] * 2)
    for day in range(0, 50, 6)
    for wander in (-0.01, 0.0, 0.01)
)
