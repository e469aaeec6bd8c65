import math
from dataclasses import replace
from random import Random

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan, Stage
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.hand.profiles import PROFILES
from pourcoach.simulation.scale.corners import CELL_RADIUS_M, Corners
from pourcoach.simulation.scale.scale_model import IDEAL, ScaleModel

PLAN = Plan(10, 10, 100, 18, 60, (Stage("bloom", 0, 20, 5), Stage("pour 1", 18, 100, 5)))
THREE = replace(IDEAL, cells=3, noise_g=0.0)


def moment_gm(shares: tuple[float, ...]) -> tuple[float, float]:
    angles = [2 * math.pi * cell / len(shares) for cell in range(len(shares))]
    return (
        CELL_RADIUS_M * sum(g * math.cos(a) for g, a in zip(shares, angles, strict=True)),
        CELL_RADIUS_M * sum(g * math.sin(a) for g, a in zip(shares, angles, strict=True)),
    )


@pytest.mark.parametrize("cells", [3, 4, 5])
def test_cells_carry_the_load_and_its_moment(cells: int) -> None:
    corners = Corners(replace(THREE, cells=cells), Random(1))
    corners.step(0.0, 50.0, (0.02, -0.01))
    shares = corners.shares(200.0)
    assert len(shares) == cells
    assert sum(shares) == pytest.approx(200.0, abs=0.005)
    assert moment_gm(shares) == pytest.approx((50 * 0.02, -50 * 0.01), abs=1e-3)


def test_poured_water_spreads_to_the_middle() -> None:
    corners = Corners(THREE, Random(1))
    for _ in range(200):
        corners.step(6.0, 0.0, (0.02, 0.0))
    before = moment_gm(corners.shares(100.0))[0]
    for _ in range(4000):
        corners.step(0.0, 0.0, (0.02, 0.0))
    assert before > 0.08
    assert moment_gm(corners.shares(100.0)) == pytest.approx((0, 0), abs=1e-3)


def test_the_noise_of_all_cells_together_is_that_of_the_reading() -> None:
    corners = Corners(replace(THREE, noise_g=0.5), Random(1))
    for _ in range(50):
        assert sum(corners.shares(100.0)) == pytest.approx(100.0, abs=0.005)


def test_a_scale_of_one_cell_gives_no_corners() -> None:
    readings = SimulatedBrew(PLAN, "steady", 1).advance_to(10.0)
    assert {reading.corners_g for reading in readings} == {()}


def test_a_hand_that_favours_one_side_shows_in_the_corners() -> None:
    one_sided = replace(PROFILES["steady"], circle_off_m=0.01)

    def mean_x(profile: object) -> float:
        brew = SimulatedBrew(PLAN, one_sided if profile else "steady", 1, THREE)
        readings = [r for r in brew.run() if brew.truth.flow_gps(r.t_s) > 1]
        return sum(moment_gm(r.corners_g)[0] for r in readings) / len(readings)

    assert abs(mean_x(None)) < 0.05
    assert mean_x(one_sided) > 0.1


def test_two_cells_are_refused() -> None:
    with pytest.raises(UsageError, match="two load cells cannot place a load"):
        ScaleModel(cells=2)
