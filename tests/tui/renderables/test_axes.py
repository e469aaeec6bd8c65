"""What a chart spans, and its numbers."""

import pytest

from pourcoach.domain.plan import Plan
from pourcoach.tui.renderables.axes import Extent, step_g, step_s


def test_a_plan_has_room_to_overshoot_and_to_drain_late(plan: Plan) -> None:
    extent = Extent.of_plan(plan)
    assert plan.water_g * 1.05 < extent.span_g < plan.water_g * 1.2
    assert plan.finish_s * 1.05 < extent.span_s < plan.finish_s * 1.2


@pytest.mark.parametrize(
    ("point", "grown"),
    [
        ((90.0, 90.0), (100.0, 100.0)),
        ((100.0, 90.0), (130.0, 100.0)),
        ((5.0, 200.0), (100.0, 260.0)),
    ],
)
def test_an_extent_grows_to_hold_a_point(
    point: tuple[float, float], grown: tuple[float, float]
) -> None:
    assert Extent(100.0, 100.0).holding(*point) == Extent(*grown)


def test_an_extent_that_holds_the_point_stays_itself() -> None:
    extent = Extent(100.0, 100.0)
    assert extent.holding(99.9, 99.9) is extent


@pytest.mark.parametrize(
    ("span_s", "columns", "step"),
    [(200.0, 75, 30), (200.0, 57, 60), (20.0, 75, 5), (9000.0, 10, 600)],
)
def test_seconds_between_numbers(span_s: float, columns: int, step: int) -> None:
    assert step_s(span_s, columns) == step


@pytest.mark.parametrize(
    ("span_g", "rows", "step"), [(345.0, 17, 100), (345.0, 4, 500), (30.0, 12, 10), (1e6, 1, 1000)]
)
def test_grams_between_numbers(span_g: float, rows: int, step: int) -> None:
    assert step_g(span_g, rows) == step


def test_a_part_of_a_brew_is_spanned_from_its_own_beginning() -> None:
    part = Extent(40.0, 100.0, 30.0, 50.0)
    assert [part.at(brew_s, 80) for brew_s in (29.0, 30.0, 50.0, 70.0)] == [-2, 0, 40, 80]
    assert [part.height_of(mass_g, 10) for mass_g in (40.0, 50.0, 100.0)] == [-1, 0, 5]
    assert [part.holds(brew_s) for brew_s in (29.9, 30.0, 70.0, 70.1)] == [False, True, True, False]
