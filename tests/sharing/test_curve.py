from pourcoach.sharing.curve import MOST_POINTS, StationCurve


def times(curve: StationCurve) -> list[float]:
    return [point.time_s for point in curve.points]


def test_points_are_a_step_apart_and_carry_their_target() -> None:
    curve = StationCurve()
    for tenth in range(10):
        curve.add(tenth / 10, 5.0 * tenth, -2.0)
    assert times(curve) == [0.0, 0.2, 0.4, 0.6, 0.8]
    assert curve.points[1] == (0.2, 10.0, 12.0)
    curve.add(1.2, 60.0, None)
    assert curve.points[-1].target_g is None
    assert curve.cuts == 0


def test_before_the_first_water_and_without_a_weight_there_is_none() -> None:
    curve = StationCurve()
    curve.add(None, 12.0, None)
    curve.add(1.0, None, None)
    assert curve.points == []
    assert curve.cuts == 0


def test_another_brew_takes_the_place_of_the_one_before() -> None:
    curve = StationCurve()
    for second in range(5):
        curve.add(float(second), 10.0, 0.0)
    curve.add(None, 0.0, None)
    assert (curve.points, curve.cuts) == ([], 1)
    curve.add(0.0, 1.0, 0.0)
    assert times(curve) == [0.0]


def test_what_is_wound_back_is_cut_off() -> None:
    curve = StationCurve()
    for second in range(5):
        curve.add(float(second), 10.0, 0.0)
    curve.add(1.5, 10.0, 0.0)
    assert times(curve) == [0.0, 1.0, 1.5]
    assert curve.cuts == 1


def test_what_is_lifted_off_after_the_brew_is_no_part_of_it() -> None:
    curve = StationCurve()
    curve.add(1.0, 300.0, 0.0)
    curve.add(2.0, -400.0, None, over=True)
    assert times(curve) == [1.0]


def test_it_is_bounded() -> None:
    curve = StationCurve()
    for second in range(MOST_POINTS + 3):
        curve.add(float(second), 1.0, None)
    assert len(curve.points) == MOST_POINTS
    assert curve.points[-1].time_s == MOST_POINTS + 2
    assert curve.cuts == 3
