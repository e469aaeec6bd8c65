from dataclasses import replace
from itertools import pairwise
from random import Random
from statistics import correlation, fmean, pstdev

import pytest

from pourcoach.simulation.scale.converter import SEQUENCES, Converter, DeviceSample
from pourcoach.simulation.scale.scale_model import IDEAL, ScaleModel
from pourcoach.simulation.ticks import TICK_S

CLEAN = replace(IDEAL, noise_g=0.0, resolution_g=0.0)


def samples(
    model: ScaleModel, seconds: float, slope_gps: float = 0.0, tares_s: tuple[float, ...] = ()
) -> list[DeviceSample]:
    converter = Converter(model, Random(1), Random(2), tares_s)
    taken = (
        converter.step((tick + 1) * TICK_S, slope_gps * (tick + 1) * TICK_S)
        for tick in range(round(seconds / TICK_S))
    )
    return [sample for sample in taken if sample is not None]


@pytest.mark.parametrize("rate_hz", [7.0, 10.0, 33.0, 80.0, 160.0])
def test_samples_are_taken_at_the_rate_between_the_ticks_too(rate_hz: float) -> None:
    taken = samples(replace(CLEAN, rate_hz=rate_hz), 20, slope_gps=6.0)
    assert len(taken) == pytest.approx(20 * rate_hz, abs=1)
    assert [s.grams for s in taken] == pytest.approx([6.0 * s.t_s for s in taken])


def test_an_unsettled_converter_is_late_by_half_its_window() -> None:
    taken = samples(replace(CLEAN, settling_samples=4), 5, slope_gps=6.0)
    late_s = [s.t_s - s.grams / 6.0 for s in taken if s.t_s > 1]
    assert late_s == pytest.approx([0.2] * len(late_s))


def test_weights_are_whole_steps_within_the_capacity() -> None:
    model = replace(CLEAN, resolution_g=0.05, capacity_g=100.0)
    taken = samples(model, 30, slope_gps=6.0)
    assert all(round(s.grams / 0.05) * 0.05 == pytest.approx(s.grams, abs=1e-9) for s in taken)
    assert max(s.grams for s in taken) == 100.0


def test_what_nobody_has_tared_away_is_shown_too() -> None:
    taken = samples(replace(CLEAN, untared_g=612.3), 2, slope_gps=6.0)
    assert [s.grams for s in taken] == pytest.approx([612.3 + 6.0 * s.t_s for s in taken])


def test_a_fast_clock_takes_its_samples_sooner_than_it_states() -> None:
    taken = samples(replace(CLEAN, clock_ppm=10_000.0), 60)
    true_s = taken[-1].t_s - taken[0].t_s
    assert taken[-1].device_s - taken[0].device_s == pytest.approx(true_s * 1.01, abs=0.001)


def test_the_clock_wanders_as_specified() -> None:
    taken = samples(replace(CLEAN, clock_wander_ppm=500.0), 120)
    spans = [b.t_s - a.t_s for a, b in pairwise(taken)]
    assert max(spans) > min(spans) + 1e-5


def test_stale_readings_repeat_the_weight_but_not_the_count() -> None:
    taken = samples(replace(CLEAN, stale=0.1), 200, slope_gps=1.0)
    pairs = list(pairwise(taken))
    assert fmean(a.grams == b.grams for a, b in pairs) == pytest.approx(0.1, abs=0.02)
    assert all((b.sequence - a.sequence) % SEQUENCES == 1 for a, b in pairs)


def test_noise_is_that_of_one_reading() -> None:
    taken = samples(replace(CLEAN, noise_g=0.05, rate_hz=80.0), 60)
    assert fmean(s.grams**2 for s in taken) ** 0.5 == pytest.approx(0.05, rel=0.05)


def test_spikes_are_alone_rare_and_either_way() -> None:
    model = replace(CLEAN, rate_hz=80.0, spikes=0.03)
    taken = samples(model, 200)
    spikes = [s.spike_g for s in taken if s.spike_g]
    assert len(spikes) == pytest.approx(0.03 * len(taken), rel=0.15)
    assert all(s.grams == s.spike_g for s in taken)
    assert all(2 <= abs(spike_g) <= 200 for spike_g in spikes)
    assert 0.35 < fmean(spike_g > 0 for spike_g in spikes) < 0.65
    assert 0.4 < fmean(abs(spike_g) < 20 for spike_g in spikes) < 0.6


def test_spikes_leave_the_noise_as_it_was() -> None:
    plain, spiked = (samples(ScaleModel(spikes=share, resolution_g=0.0), 60) for share in (0, 0.1))
    assert [s.t_s for s in plain] == [s.t_s for s in spiked]
    assert [s.grams for s in plain] == pytest.approx([s.grams - s.spike_g for s in spiked])


def test_its_own_tare_makes_the_last_conversion_zero_and_says_by_how_much() -> None:
    model = replace(CLEAN, untared_g=100.0)
    taken = samples(model, 20, slope_gps=2.0, tares_s=(12.0, 5.0))
    assert [s.tared_g for s in taken if s.tared_g] == [
        pytest.approx(110, abs=0.3),
        pytest.approx(14, abs=0.5),
    ]
    zero_g = -100.0
    for sample in taken:
        zero_g += sample.tared_g
        assert sample.grams == pytest.approx(2.0 * sample.t_s - zero_g)
    first = next(s for s in taken if s.tared_g)
    assert 5.0 <= first.t_s < 5.1
    assert first.grams == pytest.approx(0.2, abs=0.01)  # what came in since the last conversion


def test_coloured_noise_keeps_its_size() -> None:
    taken = [s.grams for s in samples(replace(CLEAN, noise_g=0.05, noise_lag_1=0.5), 2000)]
    assert pstdev(taken) == pytest.approx(0.05, rel=0.03)
    assert correlation(taken[:-1], taken[1:]) == pytest.approx(0.5, abs=0.03)
