import pytest

from pourcoach.simulation.scale.platform import (
    SLOSH_DEPTH_M,
    SLOSH_RADIUS_M,
    PlatformModel,
    slosh_hz,
)
from pourcoach.simulation.scale.scale_model import IDEAL, ScaleModel
from pourcoach.simulation.ticks import TICK_S


def test_a_slow_rise_is_shown_16_ms_late() -> None:
    platform = PlatformModel(IDEAL)
    for tick in range(400):
        shown_g = platform.step(tick * TICK_S, 5.0 * (tick + 0.5) * TICK_S, 0.0, hot=False)
    assert (400 * TICK_S * 5.0 - shown_g) / 5.0 == pytest.approx(0.016, abs=0.0005)


def test_a_load_creeps_by_the_data_sheet_share_in_half_an_hour() -> None:
    platform = PlatformModel(ScaleModel(creep_share=0.0003, drift_g_per_k=0.0))
    ticks = round(1800 / TICK_S)
    for tick in range(ticks):
        shown_g = platform.step(tick * TICK_S, 1000.0, 0.0, hot=False)
    assert shown_g - 1000.0 == pytest.approx(0.3, rel=0.06)


def test_a_hot_brewer_moves_the_zero() -> None:
    model = ScaleModel(creep_share=0.0, drift_g_per_k=0.02, warming_k=5.0)
    cold, hot = PlatformModel(model), PlatformModel(model)
    for tick in range(round(240 / TICK_S)):
        cold_g = cold.step(tick * TICK_S, 0.0, 0.0, hot=False)
        hot_g = hot.step(tick * TICK_S, 0.0, 0.0, hot=True)
    assert cold_g == 0
    assert 0.02 < hot_g < 0.1


def test_a_stream_cut_off_leaves_the_slurry_swinging() -> None:
    platform = PlatformModel(ScaleModel(slosh_g_per_gps=0.05, dip_g=0.0))
    shown = []
    for tick in range(1200):
        pouring = tick < 600
        shown.append(platform.step(tick * TICK_S, 0.0, 6.0 if pouring else 0.0, hot=False))
    after = shown[640:]
    assert max(after) > 0.05
    assert min(after) < -0.05
    assert max(map(abs, after[-100:])) < 0.02


def test_the_first_impact_dips_once() -> None:
    platform = PlatformModel(ScaleModel(slosh_g_per_gps=0.0, dip_g=0.2))
    flows = [0.0] * 100 + [5.0] * 100 + [0.0] * 100 + [5.0] * 100
    shown = [platform.step(i * TICK_S, 0.0, flow, hot=False) for i, flow in enumerate(flows)]
    assert min(shown[100:200]) < -0.15
    assert min(shown[250:]) > -0.01


def test_slosh_of_a_hand_brewer_swings_a_few_times_a_second() -> None:
    # ω² = g k tanh(k h), worked by hand: k = 52.6, tanh(1.052) = 0.7825, ω = 20.09.
    assert slosh_hz(SLOSH_RADIUS_M, SLOSH_DEPTH_M) == pytest.approx(20.09 / 6.2832, rel=0.002)
