"""The estimate is as good as the bench measured it to be: constants tuned on it are held here.

``figures.toml`` holds what the reduced bench gives, on fixed seeds, with standard errors over the
seeds. The same code gives the same figures. Estimators of the same quality differ on the same seeds
by a part of the standard error; a figure that moves further got worse, or better: then run the
whole bench (``python -m tests.benchmarks.estimation``), and if that agrees, write the figures anew
with ``python -m tests.benchmarks.estimation.reduced --write``.
"""

import tomllib
from pathlib import Path

import pytest

from tests.benchmarks.estimation.reduced import SCALES, STEADY, Figure, figures, steadiness

MEASURED = tomllib.loads((Path(__file__).parent / "figures.toml").read_text())
ROOM = 0.5
"""Standard errors. Changes in how touches are reported, which left what runs in a pour alone, moved
figures on the same seeds by up to so much."""
LEAST_ROOM = 1e-4
"""Relative: rounding."""
STATED_ROOM = 0.01
"""Relative: the error that evenness states follows from the model, and little from the seeds."""
COUNT_ROOM = 0.5
"""Of figures that count, where none was seen."""


@pytest.mark.parametrize("scale", SCALES)
def test_figures_stay_where_the_bench_measured_them(scale: str) -> None:
    made = figures(SCALES[scale])
    assert made.keys() == MEASURED[scale].keys()
    assert moved(made, scale) == {}


@pytest.mark.parametrize("name", STEADY)
def test_evenness_stays_where_the_bench_measured_it(name: str) -> None:
    made = steadiness(*STEADY[name])
    assert made.keys() == MEASURED[name].keys()
    assert moved(made, name) == {}


def moved(made: dict[str, Figure], table: str) -> dict[str, str]:
    """The figures that are not where they were."""
    return {
        name: f"{figure.value:.4g}, measured {measured} ± {error}"
        for name, figure in made.items()
        for measured, error in [MEASURED[table][name]]
        if abs(figure.value - measured)
        > (STATED_ROOM * measured if name == "flow_cv error" else _room(measured, error))
    }


def _room(measured: float, error: float) -> float:
    return max(ROOM * error, LEAST_ROOM * abs(measured), COUNT_ROOM if measured == 0.0 else 0.0)
