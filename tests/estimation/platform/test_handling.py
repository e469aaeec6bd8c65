"""What is done to the platform while nobody pours, or while water runs, and what is left of it."""

import numpy as np
import pytest

from pourcoach.domain.estimate import Estimate, EventKind
from pourcoach.domain.inputs import Silence
from pourcoach.domain.pour import Unjudged
from pourcoach.estimation.estimator import Estimator
from tests.estimation.conftest import Bench
from tests.estimation.platform.press_log import LOG, Weight

UNTIL_S = 60.0
WATER_G = 80.0


def water(times: np.ndarray) -> np.ndarray:
    """80 g in two pours of 5 g/s, from 5 to 13 and from 40 to 48 s."""
    return 5.0 * (np.clip(times, 5.0, 13.0) - 5.0) + 5.0 * (np.clip(times, 40.0, 48.0) - 40.0)


def push(from_s: float, up_s: float, hold_s: float, down_s: float, grams: float) -> Weight:
    """A hand that presses and lets go, smoothly."""
    knots = np.cumsum([from_s, up_s, hold_s, down_s])

    def weight(times: np.ndarray) -> np.ndarray:
        share = np.interp(times, knots, [0.0, 1.0, 1.0, 0.0])
        return grams * share * share * (3.0 - 2.0 * share)

    return weight


def step(at_s: float, grams: float) -> Weight:
    """A level that jumps for good."""
    return lambda times: grams * (times >= at_s)


def followed(rate_hz: float, *others: Weight) -> Estimate:
    """The water with these on top of it."""
    bench, estimator = Bench(rate_hz, 0.04, 0.05), Estimator()
    readings = bench.weigh(lambda t: water(t) + sum(one(t) for one in others), UNTIL_S, 0.1)
    for reading in readings:
        estimator.feed(reading)
    return estimator.close(UNTIL_S)


def kinds(estimate: Estimate) -> set[EventKind]:
    return {event.kind for event in estimate.events}


def all_found(estimate: Estimate) -> bool:
    """Both pours, no other, and the water of them."""
    starts = [pour.start_s for pour in estimate.pours]
    return starts == pytest.approx([5.1, 40.1], abs=0.3) and estimate.unbroken_g == pytest.approx(
        WATER_G, abs=1.0
    )


def gush(from_s: float, to_s: float, more_gps: float) -> Weight:
    """Water that runs harder for a while; its jet pushes by what falls in 0.1 s."""

    def weight(times: np.ndarray) -> np.ndarray:
        runs = (times >= from_s) & (times < to_s)
        return more_gps * (np.clip(times, from_s, to_s) - from_s + 0.1 * runs)

    return weight


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("more_gps", [7.0, 10.0, 15.0])
def test_a_gush_is_water_and_no_touch(rate_hz: float, more_gps: float) -> None:
    estimate = followed(rate_hz, gush(44.93, 46.33, more_gps))
    assert not estimate.events
    assert [pour.start_s for pour in estimate.pours] == pytest.approx([5.1, 40.1], abs=0.3)
    assert estimate.mass_g == pytest.approx(WATER_G + 1.4 * more_gps, abs=1.0)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
def test_what_is_set_down_under_the_stream_is_no_gush(rate_hz: float) -> None:
    estimate = followed(rate_hz, step(45.0, 30.0))
    assert kinds(estimate) == {EventKind.PLACED}
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.5)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("grams", [8.0, 20.0, 36.0])
@pytest.mark.parametrize(("up_s", "down_s"), [(0.5, 0.3), (1.4, 1.0), (1.8, 1.4)])
def test_a_hand_that_presses_and_lets_go_is_no_water(
    rate_hz: float, grams: float, up_s: float, down_s: float
) -> None:
    estimate = followed(rate_hz, push(25.0, up_s, 1.5, down_s, grams))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("acts", LOG.values(), ids=LOG)
def test_nothing_is_left_of_a_log_of_presses(rate_hz: float, acts: tuple[Weight, ...]) -> None:
    estimate = followed(rate_hz, *acts)
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)
    assert [pour.mass_g for pour in estimate.pours] == pytest.approx([40.0, 40.0], abs=1.0)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("grams", [-6.0, -3.0, 3.0, 8.0])
@pytest.mark.parametrize("lasts_s", [3.0, 8.0])
def test_a_hand_that_leans_takes_no_water_and_leaves_none(
    rate_hz: float, grams: float, lasts_s: float
) -> None:
    estimate = followed(rate_hz, push(20.0, 0.4 * lasts_s, 0.2 * lasts_s, 0.4 * lasts_s, grams))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)
    assert [pour.mass_g for pour in estimate.pours] == pytest.approx([40.0, 40.0], abs=1.0)


@pytest.mark.parametrize("down_s", [0.6, 1.0, 1.4])
def test_a_hand_on_a_scale_at_zero_that_lets_go_slowly_is_no_tare(down_s: float) -> None:
    estimate = followed(10.0, push(1.0, 1.2, 0.6, down_s, 11.0))
    assert EventKind.SCALE_TARE not in kinds(estimate)
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0)


def test_hands_that_press_over_one_another_leave_nothing() -> None:
    estimate = followed(
        10.0,
        push(20.0, 0.8, 1.4, 0.5, 30.0),
        push(20.3, 1.5, 3.0, 1.2, 25.0),
        push(22.0, 1.2, 3.0, 1.4, 12.0),
    )
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0)


@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
@pytest.mark.parametrize("at_s", [8.0, 12.9, 13.3, 25.0, 39.9, 44.0, 50.0])
def test_the_scales_own_tare_at_any_moment_loses_no_water(rate_hz: float, at_s: float) -> None:
    stood_g = float(water(np.array([at_s]))[0])
    estimate = followed(rate_hz, step(at_s, -stood_g))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)
    assert kinds(estimate) == {EventKind.SCALE_TARE}


@pytest.mark.parametrize("rate_hz", [20.0, 40.0, 80.0])
@pytest.mark.parametrize("at_s", [5.5, 5.7])
def test_a_tare_in_the_first_second_of_a_pour_loses_no_water(rate_hz: float, at_s: float) -> None:
    """So little, going so soon, may be a hand that pressed; but the stream goes on."""
    stood_g = float(water(np.array([at_s]))[0])
    assert followed(rate_hz, step(at_s, -stood_g)).unbroken_g == pytest.approx(WATER_G, abs=0.6)


@pytest.mark.parametrize("lasts_s", [1.0, 1.5, 2.5])
@pytest.mark.parametrize("rate_hz", [10.0, 20.0, 80.0])
def test_a_brewer_held_for_a_moment_in_mid_pour_loses_no_water(
    rate_hz: float, lasts_s: float
) -> None:
    estimate = followed(rate_hz, held(43.0, 43.0 + lasts_s))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events


@pytest.mark.parametrize("at_s", [7.0, 9.5, 11.0, 43.0])
def test_a_tare_under_the_stream_is_no_lift_though_its_zero_is_a_little_old(at_s: float) -> None:
    """The scale takes the mean of the last fifth of a second for zero, and all that stands there
    was on it when it was switched on, so that zero may be the bare platform."""
    load_g = 300.0
    zero_g = load_g + float(water(np.array([at_s - 0.1]))[0])
    estimate = followed(40.0, step(-1.0, load_g), step(at_s, -zero_g))
    assert estimate.unbroken_g == pytest.approx(load_g + WATER_G, abs=1.0)
    assert kinds(estimate) == {EventKind.SCALE_TARE}


@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
def test_a_brewer_lifted_and_put_back_changes_nothing(rate_hz: float) -> None:
    estimate = followed(rate_hz, push(20.0, 0.2, 3.0, 0.2, -300.0))
    assert all_found(estimate)
    assert [one.kind for one in estimate.events] == [EventKind.LIFTED, EventKind.RETURNED]


def test_a_vessel_set_down_is_no_water() -> None:
    estimate = followed(20.0, step(20.0, 120.0))
    assert all_found(estimate)
    assert kinds(estimate) == {EventKind.PLACED}


@pytest.mark.parametrize("lasts_s", [1.0, 4.0, 12.0])
@pytest.mark.parametrize("from_s", [3.0, 7.0, 11.0, 20.0])
def test_an_outage_anywhere_loses_no_water(from_s: float, lasts_s: float) -> None:
    bench, estimator = Bench(20.0, 0.04, 0.05), Estimator()
    for reading in bench.weigh(water, UNTIL_S, 0.1):
        if not from_s < reading.t_s < from_s + lasts_s:
            estimator.feed(reading)
        elif round(reading.t_s * 20) % 10 == 2:
            estimator.feed(Silence(reading.t_s))
    estimate = estimator.close(UNTIL_S)
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0)
    assert len(estimate.pours) == 2


def flat_blow(from_s: float, lasts_s: float, grams: float) -> Weight:
    """A blow with steep sides and a flat top."""

    def weight(times: np.ndarray) -> np.ndarray:
        share = (times - from_s) / lasts_s
        return grams * np.clip(8.0 * np.minimum(share, 1.0 - share), 0.0, 1.0)

    return weight


@pytest.mark.parametrize("grams", [30.0, -30.0])
@pytest.mark.parametrize("lasts_s", [0.4, 0.6])
@pytest.mark.parametrize("more_gps", [7.0, 9.0, 11.0])
@pytest.mark.parametrize("rate_hz", [10.0, 12.5])
def test_a_gush_that_begins_under_a_blow_is_water(
    rate_hz: float, more_gps: float, lasts_s: float, grams: float
) -> None:
    blow = flat_blow(44.4, lasts_s, grams)
    estimate = followed(rate_hz, gush(44.5, 45.9, more_gps), blow)
    assert estimate.unbroken_g == pytest.approx(WATER_G + 1.4 * more_gps, abs=1.5)


@pytest.mark.parametrize("at_s", [42.0, 43.3, 44.0, 45.2])
@pytest.mark.parametrize(("lasts_s", "pulls_g"), [(0.23, 11.0), (0.39, 19.0)])
def test_a_blow_that_pulls_right_after_another_takes_no_water(
    lasts_s: float, pulls_g: float, at_s: float
) -> None:
    first_s = 1.5 * lasts_s
    estimate = followed(
        80.0,
        lambda t: 10.0 * np.sin(np.pi * np.clip((t - at_s) / first_s, 0.0, 1.0)),
        flat_blow(at_s + first_s, lasts_s, -pulls_g),
    )
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0)


@pytest.mark.parametrize("drums_g", [0.0, 0.06, 0.12])
@pytest.mark.parametrize("lasts_s", [2.0, 8.0, 14.0])
@pytest.mark.parametrize("rate_hz", [20.0, 80.0])
def test_water_that_runs_on_unseen_is_no_vessel(
    rate_hz: float, lasts_s: float, drums_g: float
) -> None:
    bench, estimator, rng = Bench(rate_hz, 0.015, 0.01), Estimator(), np.random.default_rng(3)

    def drumming(times: np.ndarray) -> np.ndarray:
        runs = (times > 5.0) & (times < 35.0)
        return 5.0 * (np.clip(times, 5.0, 35.0) - 5.0) + drums_g * runs * rng.normal(
            size=len(times)
        )

    for reading in bench.weigh(drumming, 40.0, 0.1):
        if not 15.0 < reading.t_s < 15.0 + lasts_s:
            estimator.feed(reading)
    estimate = estimator.close(40.0)
    assert estimate.unbroken_g == pytest.approx(150.0, abs=1.0)
    assert len(estimate.pours) == 1


@pytest.mark.parametrize("from_s", [5.0, 5.1, 5.2])
def test_a_pour_that_begins_and_ends_in_an_outage_is_found(from_s: float) -> None:
    bench, estimator = Bench(10.0, 0.04, 0.05), Estimator()
    for reading in bench.weigh(lambda t: 7.0 * (np.clip(t, 5.0, 10.8) - 5.0), 30.0, 0.1):
        if not from_s < reading.t_s < 10.7:
            estimator.feed(reading)
    (pour,) = estimator.close(30.0).pours
    assert pour.mass_g == pytest.approx(40.6, abs=1.0)


def test_errors_widen_while_it_is_not_clear_what_the_readings_are() -> None:
    """A blow of half a second while water runs: the weight is off by less than the error says."""
    bench, estimator = Bench(40.0, 0.04, 0.05), Estimator()
    blow = push(9.0, 0.25, 0.0, 0.25, 30.0)
    errors, off = {}, {}
    for reading in bench.weigh(lambda t: water(t) + blow(t), 12.0):
        estimate = estimator.feed(reading)
        errors[reading.t_s] = estimate.mass_error_g
        off[reading.t_s] = abs(estimate.unbroken_g - float(water(np.array([reading.t_s]))[0]))
    clear = max(error for t, error in errors.items() if 7.0 < t < 8.9)
    late = [t for t in errors if 9.3 < t < 9.45]
    assert min(errors[t] for t in late) > 5.0 * clear
    assert all(off[t] < 2.0 * errors[t] for t in late)
    assert errors[11.0] < 2.0 * clear


def held(from_s: float, to_s: float, drips_gps: float = 0.0, load_g: float = 300.0) -> Weight:
    """A brewer of this weight off the scale, its edges a quarter of a second: what is poured into
    it meanwhile does not show until it stands again, what drips from it into the server does."""

    def weight(times: np.ndarray) -> np.ndarray:
        knots = [from_s, from_s + 0.25, to_s - 0.25, to_s]
        off = np.interp(times, knots, [0.0, 1.0, 1.0, 0.0])
        before_g = water(np.array([from_s]))[0]
        dripped_g = drips_gps * np.clip(times - from_s, 0.0, to_s - from_s)
        away_g = load_g + water(times) - before_g - dripped_g
        return -off * away_g

    return weight


@pytest.mark.parametrize("rate_hz", [10.0, 20.0, 80.0])
@pytest.mark.parametrize(
    ("from_s", "to_s"), [(42.0, 44.5), (42.0, 47.0), (39.0, 42.0), (46.5, 48.3)]
)
def test_water_poured_into_a_brewer_that_is_held_is_counted_when_it_stands_again(
    rate_hz: float, from_s: float, to_s: float
) -> None:
    estimate = followed(rate_hz, held(from_s, to_s))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events
    assert [one.kind for one in estimate.events] == [EventKind.LIFTED, EventKind.RETURNED]
    assert sum(pour.unseen_g for pour in estimate.pours) > 2.0
    assert sum(pour.mass_g or 0.0 for pour in estimate.pours) == pytest.approx(WATER_G, abs=1.0)


def test_what_a_brewer_has_gained_is_not_what_an_old_tare_took() -> None:
    """The scale was zeroed at 5 g, long ago, which is about what has come into the brewer now."""
    tare_g = float(water(np.array([6.0]))[0])
    estimate = followed(20.0, step(6.0, -tare_g), held(46.3, 48.1, drips_gps=2.0), blow(48.1, 40.0))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events


def blow(at_s: float, grams: float) -> Weight:
    """With which a brewer is set down: one damped swing."""

    def weight(times: np.ndarray) -> np.ndarray:
        share = np.clip((times - at_s) / 0.3, 0.0, 1.0)
        return grams * np.exp(-1.5 * share) * np.sin(2.0 * np.pi * share) / 0.7

    return weight


def test_what_is_set_down_and_swings_leaves_the_water_as_it_was() -> None:
    """The spring swings out a few grams low, and then over the level, as slowly as it comes."""

    def swing(times: np.ndarray) -> np.ndarray:
        share = (times - 24.15) / 0.25
        ring = np.exp(-3.0 * share) * np.cos(2.0 * np.pi * 1.2 * share)
        return 12.0 * np.where((share >= 0.0) & (share <= 1.0), ring, 0.0)

    estimate = followed(80.0, push(20.0, 0.25, 3.7, 0.25, -480.0), swing)
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events


@pytest.mark.parametrize(
    ("up_s", "down_s", "grams"), [(1.2, 0.4, 9.0), (1.2, 1.0, 9.0), (1.8, 1.0, 18.0)]
)
def test_a_press_leaves_no_little_pour_behind(up_s: float, down_s: float, grams: float) -> None:
    """Of a slow scale a reading falls on the last of the way down, near enough to seem the end."""
    estimate = followed(6.2, push(20.0, up_s, 3.0, down_s, grams))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)


@pytest.mark.parametrize(
    ("rate_hz", "up_s", "grams"), [(10.0, 1.2, 22.0), (40.0, 1.2, 22.0), (20.0, 1.0, 30.0)]
)
def test_a_rise_steeper_than_water_is_not_reported_as_a_pour(
    rate_hz: float, up_s: float, grams: float
) -> None:
    bench, estimator = Bench(rate_hz, 0.04, 0.05), Estimator()
    press = push(20.0, up_s, 2.0, 0.6, grams)
    readings = bench.weigh(lambda t: water(t) + press(t), 30.0, 0.1)
    pouring = [estimate.t_s for estimate in map(estimator.feed, readings) if estimate.pouring]
    assert not [t_s for t_s in pouring if t_s > 18.0]


@pytest.mark.parametrize(("load_g", "to_s"), [(300.0, 44.5), (350.0, 44.3), (350.0, 44.55)])
def test_what_is_poured_into_a_brewer_that_drips_and_bounces_is_counted(
    load_g: float, to_s: float
) -> None:
    def bounce(times: np.ndarray) -> np.ndarray:
        knots = to_s + np.array([-0.05, 0.0, 0.05, 0.1, 0.2])
        return np.interp(times, knots, [0.0, 17.0, 18.0, -20.0, 0.0])

    estimate = followed(10.0, held(40.0, to_s, 2.0, load_g), bounce)
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events
    lifted, returned = estimate.events
    assert lifted.change_g + returned.change_g == pytest.approx(0.0, abs=3.0)


@pytest.mark.parametrize("rate_hz", [10.0, 20.0])
@pytest.mark.parametrize(("from_s", "to_s", "judged"), [(43.0, 44.5, True), (42.0, 45.0, False)])
def test_what_drips_from_a_brewer_that_is_held_is_not_how_even_the_pour_was(
    rate_hz: float, from_s: float, to_s: float, judged: bool
) -> None:
    pour = followed(rate_hz, held(from_s, to_s, 1.5, 350.0)).pours[-1]
    if judged:
        assert pour.flow_cv is not None
        assert pour.flow_cv < 0.05
    else:
        assert (pour.flow_cv, pour.unjudged) == (None, Unjudged.HIDDEN)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0, 80.0])
@pytest.mark.parametrize(("from_s", "to_s"), [(18.0, 22.5), (41.0, 44.2), (46.5, 49.0)])
def test_what_drips_from_a_brewer_that_is_held_is_no_water(
    rate_hz: float, from_s: float, to_s: float
) -> None:
    """On a scale zeroed before, in a wait, in mid-pour and at its end: when the brewer stands
    again, all that it holds is known by the weight from before."""
    estimate = followed(
        rate_hz, step(16.0, -40.0), held(from_s, to_s, 2.0, 330.0), blow(to_s - 0.05, 40.0)
    )
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events
    lifted, returned = estimate.events[-2:]
    assert (lifted.kind, returned.kind) == (EventKind.LIFTED, EventKind.RETURNED)
    assert sum(pour.mass_g or 0.0 for pour in estimate.pours) == pytest.approx(WATER_G, abs=1.0)


@pytest.mark.parametrize("lost_g", [0.6, 1.0, 2.5])
def test_drips_that_fall_beside_the_server_are_no_loss_of_water(lost_g: float) -> None:
    estimate = followed(10.0, push(20.0, 0.2, 3.0, 0.2, -300.0), step(23.3, -lost_g))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=0.3)
    assert len(estimate.pours) == 2


def test_two_things_lifted_one_after_the_other_and_put_back_at_once_are_both_back() -> None:
    """The brewer is lifted with its server's lid off already: nothing is left to come back."""
    estimate = followed(
        12.5,
        push(19.0, 0.2, 4.2, 0.2, -160.0),
        push(21.0, 0.2, 2.2, 0.2, -270.0),
        blow(43.0, 12.0),
    )
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events
    assert len(estimate.pours) == 2


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize(
    ("at_s", "grams"),
    [(19.0, 6.0), (19.0, 12.0), (19.0, 20.0), (19.0, 30.0), (25.0, 20.0), (25.0, 40.0)],
)
def test_a_thing_taken_off_a_bed_left_alone_takes_no_water_along(
    rate_hz: float, at_s: float, grams: float
) -> None:
    """Were it a hand that lets go, it would have held still for so long; the bloom of 40 g too."""
    load = step(-1.0, 300.0)
    estimate = followed(rate_hz, load, step(at_s, -grams))
    assert estimate.unbroken_g - 300.0 == pytest.approx(WATER_G, abs=1.0), estimate.events
    assert kinds(estimate) == {EventKind.LIFTED}


@pytest.mark.parametrize("up_s", [0.6, 0.7])
def test_a_hand_that_goes_takes_along_what_was_taken_for_water_under_it(up_s: float) -> None:
    estimate = followed(80.0, push(20.0, up_s, 2.5, 0.65, 36.0))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)


@pytest.mark.parametrize("rate_hz", [20.0, 40.0])
def test_a_blow_as_the_brewer_is_set_down_on_a_scale_at_zero_is_no_water(rate_hz: float) -> None:
    """The scale was zeroed before: after the blow it shows what a tare would leave."""

    def blow(times: np.ndarray) -> np.ndarray:
        return 15.0 * ((times >= 24.0) & (times < 24.2))

    estimate = followed(rate_hz, step(16.0, -40.0), push(20.0, 0.2, 3.7, 0.2, -244.0), blow)
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)
