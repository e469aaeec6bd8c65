"""The estimate is as good as the bench measured it to be: constants tuned on it are held here.

``figures.toml`` holds what the reduced bench gives, on fixed seeds. The same code gives the same
figures, so the room left is small: it is for rounding, and for changes that are no matter of
quality. A figure that leaves it got worse, or better: then run the whole bench
(``python -m tests.benchmarks.estimation``), and if that agrees, write the figures anew with
``python -m tests.benchmarks.estimation.reduced --write``.
"""

import tomllib
from pathlib import Path

import pytest

from tests.benchmarks.estimation.reduced import SCALES, figures

MEASURED = tomllib.loads((Path(__file__).parent / "figures.toml").read_text())
ROOM = 0.04
"""Relative. A tuned constant that is changed by a half moves some figure by more."""
COUNT_ROOM = 0.5
"""Of figures that count."""


@pytest.mark.parametrize("scale", SCALES)
def test_figures_stay_where_the_bench_measured_them(scale: str) -> None:
    made = figures(SCALES[scale])
    assert made.keys() == MEASURED[scale].keys()
    moved = {
        name: f"{value:.4g}, measured {MEASURED[scale][name]:.4g}"
        for name, value in made.items()
        if abs(value - MEASURED[scale][name]) > _room(MEASURED[scale][name])
    }
    assert moved == {}


def _room(measured: float) -> float:
    return max(ROOM * abs(measured), COUNT_ROOM if measured == 0.0 else 0.0)
