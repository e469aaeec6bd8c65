"""The whole estimator: what goes in as flow comes out as flow, and nothing else does."""

from dataclasses import replace

import numpy as np
import pytest

from pourcoach.domain.estimate import Disturbance, Estimate, EventKind, ScaleTrouble
from pourcoach.domain.fall import Fall
from pourcoach.domain.inputs import Link, Mark, Reading, Silence, Tare, Undo
from pourcoach.estimation.estimator import Estimator

# The weights made up here have no jet: water weighs where it leaves.
NO_FALL = Fall(0.0, 0.0)


def run(items, scale_delay_s=0.0) -> list[Estimate]:
    estimator = Estimator(scale_delay_s, NO_FALL)
    estimates = [estimator.feed(item) for item in items]
    return [*estimates, estimator.close(items[-1].t_s)]


def inserted(items, *others):
    """Other inputs put among readings by time."""
    return sorted([*items, *others], key=lambda item: item.t_s)


def test_a_constant_flow_comes_out_as_that_flow(bench, pour_of):
    last = run(bench.weigh(pour_of((4.0, 14.0, 6.0)), 20.0))[-1]
    (pour,) = last.pours
    assert pour.refined
    assert pour.start_s == pytest.approx(4.0, abs=0.06)
    assert pour.end_s == pytest.approx(14.0, abs=0.06)
    assert pour.mass_g == pytest.approx(60.0, abs=0.1)
    assert pour.mean_flow_gps == pytest.approx(6.0, abs=0.06)
    assert pour.flow_cv is not None
    assert pour.flow_cv < 0.06


def test_the_settled_trace_follows_the_flow(bench, pour_of):
    estimates = run(bench.weigh(pour_of((4.0, 14.0, 6.0)), 20.0))
    trace = [e.settled for e in estimates if e.settled]
    inside = [s.flow_gps for s in trace if 5.0 < s.t_s < 13.0]
    assert np.mean(inside) == pytest.approx(6.0, abs=0.05)
    assert np.std(inside) < 0.25
    assert all(s.flow_gps == 0.0 for s in trace if s.t_s < 3.5 or s.t_s > 14.5)
    times = [s.t_s for s in trace]
    assert times == sorted(set(times))


def test_the_live_flow_is_there_soon_and_gone_soon(bench, pour_of):
    estimates = run(bench.weigh(pour_of((4.0, 14.0, 6.0)), 20.0))
    assert all(not e.pouring for e in estimates if e.t_s < 4.0)
    assert all(e.pouring for e in estimates if 4.35 < e.t_s < 13.9)
    assert all(not e.pouring for e in estimates if e.t_s > 14.6)
    rest = [e.flow_gps for e in estimates if e.t_s < 3.9 or e.t_s > 15.0]
    assert np.mean(rest) < 0.05


def test_a_shifted_time_origin_changes_nothing(bench, pour_of):
    readings = bench.weigh(pour_of((4.0, 10.0, 5.0)), 14.0)
    shifted = [Reading(r.t_s + 4096.0, r.grams) for r in readings]
    for here, there in zip(run(readings), run(shifted), strict=True):
        assert there.t_s - 4096.0 == pytest.approx(here.t_s, abs=1e-6)
        assert there.flow_gps == pytest.approx(here.flow_gps, abs=1e-6)
        assert len(there.pours) == len(here.pours)


def test_equal_inputs_give_equal_estimates_to_the_last_bit(bench, pour_of):
    readings = bench.weigh(pour_of((4.0, 10.0, 5.0)), 14.0)
    assert run(readings) == run(readings)


def test_a_known_delay_shifts_the_times_only(bench, pour_of):
    readings = bench.weigh(pour_of((4.0, 10.0, 5.0)), 14.0)
    (pour,) = run(readings)[-1].pours
    (earlier,) = run(readings, scale_delay_s=0.25)[-1].pours
    assert earlier.start_s == pytest.approx(pour.start_s - 0.25, abs=1e-3)
    assert earlier.mass_g == pytest.approx(pour.mass_g, abs=1e-3)


def test_a_tare_shifts_the_weight_and_leaves_the_flow(bench, pour_of):
    readings = bench.weigh(lambda t: 250.0 + pour_of((4.0, 10.0, 5.0))(t), 14.0)
    plain = run(readings)
    tared = [e for e in run(inserted(readings, Tare(2.01))) if e.t_s != 2.01]
    for a, b in zip(plain[40:], tared[40:], strict=True):
        assert b.flow_gps == pytest.approx(a.flow_gps, abs=1e-9)
    assert plain[-1].mass_g == pytest.approx(280.0, abs=0.2)
    assert tared[-1].mass_g == pytest.approx(30.0, abs=0.2)
    assert tared[-1].pours == plain[-1].pours


def test_a_tare_by_the_scale_is_no_pour_and_leaves_the_scales_own_figure(bench, pour_of):
    def weight(t):
        return np.where(t < 2.7, 250.0, 0.0) + pour_of((5.0, 10.0, 5.0))(t)

    readings = bench.weigh(weight, 14.0)
    estimates = run(inserted(readings, Tare(2.01, by_scale=True)))
    assert [e.kind for e in estimates[-1].events] == [EventKind.SCALE_TARE]
    assert all(abs(e.mass_g) < 0.3 for e in estimates if 2.1 < e.t_s < 4.9)
    assert len(estimates[-1].pours) == 1
    assert estimates[-1].mass_g == pytest.approx(25.0, abs=0.15)


def test_undo_takes_back_a_tare_but_not_past_a_mark(bench):
    readings = bench.weigh(lambda t: np.full_like(t, 250.0), 8.0)
    undone = run(inserted(readings, Tare(2.01), Undo(4.01)))
    assert undone[-1].mass_g == pytest.approx(250.0, abs=0.1)
    marked = run(inserted(readings, Tare(2.01), Mark(3.01), Undo(4.01)))
    assert marked[-1].mass_g == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("jump_g", [180.0, -180.0])
def test_a_jump_is_no_pour_but_a_step(bench, jump_g):
    readings = bench.weigh(lambda t: 200.0 + np.where(t < 3.0, 0.0, jump_g), 8.0)
    estimates = run(readings)
    assert not any(e.pours for e in estimates)
    (event,) = estimates[-1].events
    assert event.kind is (EventKind.PLACED if jump_g > 0 else EventKind.LIFTED)
    assert event.change_g == pytest.approx(jump_g, abs=0.3)
    assert estimates[-1].unbroken_g == pytest.approx(200.0, abs=0.1)
    kind = Disturbance.PLACED if jump_g > 0 else Disturbance.LIFTED
    assert kind in {e.disturbance for e in estimates}
    assert estimates[-1].mass_g == pytest.approx(200.0 + jump_g, abs=0.1)


@pytest.mark.parametrize("height_g", [25.0, -25.0, 3.0])
def test_a_knock_is_no_pour(bench, height_g):
    readings = bench.weigh(lambda t: np.where(np.abs(t - 3.0) < 0.26, height_g, 0.0), 8.0)
    estimates = run(readings)
    assert estimates[-1].pours == ()
    assert Disturbance.KNOCK in {e.disturbance for e in estimates}
    assert estimates[-1].mass_g == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("height_g", [25.0, -25.0, 3.0])
def test_a_blow_of_a_reading_or_two_is_no_pour_either(bench, height_g):
    """It may be a spike of the converter's instead, and then nothing is said of a touch."""
    readings = bench.weigh(lambda t: np.where(np.abs(t - 3.0) < 0.06, height_g, 0.0), 8.0)
    estimates = run(readings)
    assert estimates[-1].pours == ()
    assert estimates[-1].mass_g == pytest.approx(0.0, abs=0.1)
    assert {event.kind for event in estimates[-1].events} <= {EventKind.KNOCK, EventKind.SPIKE}


def test_a_gap_in_mid_pour_survives(bench, pour_of):
    readings = bench.weigh(pour_of((4.0, 14.0, 6.0)), 20.0)
    kept = [r for r in readings if not 7.0 < r.t_s < 9.5]
    items = inserted(
        kept, Link(7.1, up=False), *(Silence(7.3 + 0.25 * i) for i in range(8)), Link(9.4, up=True)
    )
    last = run(items)[-1]
    (pour,) = last.pours
    assert pour.mass_g == pytest.approx(60.0, abs=0.15)
    # Water here starts and stops at once; the shortest ramp that is fitted takes 0.1 s.
    assert pour.duration_s == pytest.approx(10.0, abs=0.12)


@pytest.mark.parametrize("gap_s", [1.0, 15.0, 25.0, 120.0, 3600.0])
def test_a_gap_of_any_length_in_mid_pour_is_outlived(gap_s):
    """As when the cable was pulled out, and the water went on."""
    estimator = Estimator()
    for n in range(100):
        estimator.feed(Reading(n * 0.05, 0.0))
    for n in range(60):
        estimator.feed(Reading(5.0 + n * 0.05, round(0.4 * n, 1)))
    for n in range(100):
        last = estimator.feed(Reading(8.0 + gap_s + n * 0.05, 150.0))
    assert last.mass_g == pytest.approx(150.0, abs=0.5)
    assert last.mass_error_g < 1.0


def test_time_passes_on_silence(bench, pour_of):
    readings = bench.weigh(pour_of((1.0, 10.0, 5.0)), 6.0)
    estimator = Estimator()
    for reading in readings:
        seen = estimator.feed(reading)
    silent = estimator.feed(Silence(readings[-1].t_s + 0.2))
    assert silent.t_s > seen.t_s
    assert silent.mass_g == pytest.approx(seen.mass_g + 1.0, abs=0.2)
    assert silent.mass_error_g > seen.mass_error_g
    assert silent.settled is None


def test_before_any_reading_there_is_still_an_estimate():
    estimate = Estimator().feed(Silence(0.5))
    assert (estimate.mass_g, estimate.flow_gps, estimate.pours) == (0.0, 0.0, ())


def test_two_pours_are_two(bench, pour_of):
    last = run(bench.weigh(pour_of((3.0, 8.0, 5.0), (20.0, 30.0, 7.0)), 36.0))[-1]
    assert [round(p.mass_g) for p in last.pours] == [25, 70]
    assert last.pours[1].start_g == pytest.approx(25.0, abs=0.15)


def test_the_scale_is_learnt_from_rest(bench, pour_of):
    traits = run(bench.weigh(pour_of((40.0, 44.0, 6.0)), 50.0))[-1].traits
    assert traits.rate_hz == pytest.approx(bench.rate_hz, rel=1e-3)
    if bench.step_g:
        assert traits.step_g == pytest.approx(bench.step_g)
        assert traits.noise_g < bench.noise_g + bench.step_g / 2  # a step hides a smaller noise
    else:
        assert traits.noise_g == pytest.approx(bench.noise_g, rel=0.1)


def test_a_scale_too_slow_for_a_pour_says_so(pour_of):
    weight = pour_of((20.0, 30.0, 6.0))
    times = np.arange(0.0, 60.0, 2.0)
    last = run([Reading(float(t), float(weight(t))) for t in times])[-1]
    assert last.traits.trouble is ScaleTrouble.TOO_SLOW


@pytest.mark.parametrize(("period_s", "trouble"), [(0.5, None), (0.55, ScaleTrouble.TOO_SLOW)])
def test_two_readings_a_second_are_enough(period_s, trouble):
    times = np.arange(0.0, 20.0, period_s)
    assert run([Reading(float(t), 0.0) for t in times])[-1].traits.trouble is trouble


def test_a_clock_that_runs_backwards_loses_no_water(bench, pour_of):
    readings = bench.weigh(pour_of((4.0, 14.0, 6.0)), 20.0)
    last = run([replace(r, device_s=500.0 - r.t_s) for r in readings])[-1]
    assert sum(p.mass_g for p in last.pours) == pytest.approx(60.0, abs=0.5)
    assert last.traits.trouble is ScaleTrouble.CLOCK


@pytest.mark.parametrize("rate_hz", [5.0, 10.0, 80.0])
def test_a_spike_that_comes_first_is_no_vessel_and_no_touch(rate_hz: float) -> None:
    """Nothing else is known of the weight yet, and those that follow agree with one another."""
    estimator, noise = Estimator(), np.random.default_rng(1)
    for number in range(round(4.0 * rate_hz)):
        grams = 228.0 if number == 0 else 279.0 + noise.normal(0.0, 0.05)
        estimate = estimator.feed(Reading(round(number / rate_hz + 0.01, 4), round(grams, 2)))
        assert estimate.disturbance is None
    assert estimate.events == ()
    assert estimate.mass_g == pytest.approx(279.0, abs=0.2)


@pytest.mark.parametrize(("drumming_s", "most_gps"), [(0.0, 0.14), (0.03, 0.45), (0.05, 0.7)])
def test_water_that_drums_moves_the_settled_flow_no_more_than_is_stated(drumming_s, most_gps):
    """A steady 5 g/s: with the gains of rest, drumming would move it by 0.6 and 1.0 g/s."""
    off, stated = [], []
    for seed in range(4):
        rng, estimator = np.random.default_rng(seed), Estimator()
        for tenth in range(210):
            t_s = tenth / 10
            landed_g = 5.0 * min(max(t_s - 3.0, 0.0), 30.0)
            beats_g = 5.0 * drumming_s * rng.standard_normal() if t_s > 3.0 else 0.0
            grams = landed_g + beats_g + 0.03 * rng.standard_normal()
            settled = estimator.feed(Reading(t_s, grams)).settled
            if settled is not None and settled.t_s > 7.0:
                off.append(settled.flow_gps - 5.0)
                stated.append(settled.flow_error_gps)
    assert np.std(off) < most_gps
    assert np.mean(np.abs(off) < 1.96 * np.array(stated)) > 0.85
