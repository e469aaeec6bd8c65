"""The scale tares itself as its converter makes a spike: a tare all the same, and no touch."""

import numpy as np
import pytest

from pourcoach.domain.estimate import Estimate, EventKind
from pourcoach.domain.fall import Fall
from pourcoach.domain.inputs import Reading
from pourcoach.estimation.estimator import Estimator

FLOW_GPS = 6.0
TARED_S = 45.0
"""In a pour that is no bloom any more: too much has come for a hand that lets go again."""


def poured(rate_hz: int, offs_g: dict[int, float], tared_s: float) -> tuple[float, Estimate, bool]:
    """A bloom from 8 to 14 s and a pour from 30 to 55 s, with the tare at this moment and readings
    off by so much, by their place after it. Returns the water, the last estimate, and whether a
    touch was reported from a second before the tare on."""
    estimator, rng = Estimator(fall=Fall(0.0, 0.0)), np.random.default_rng(rate_hz)
    times = np.arange(0.04, 70.0, 1.0 / rate_hz)
    weights = FLOW_GPS * (np.clip(times - 8.0, 0.0, 6.0) + np.clip(times - 30.0, 0.0, 25.0))
    water_g = float(weights[-1])
    weights = weights + 0.05 * rng.standard_normal(len(times))
    for place in (rate_hz, 2 * rate_hz, 20 * rate_hz, 27 * rate_hz):
        weights[place] += 40.0  # Its spikes are known.
    tared = int(np.searchsorted(times, tared_s))
    weights[tared:] -= weights[tared - 1]
    for place, off_g in offs_g.items():
        weights[tared + place] += off_g
    touched = False
    for t_s, weight_g in zip(times, weights, strict=True):
        estimate = estimator.feed(Reading(float(t_s), round(float(weight_g), 1)))
        touched |= t_s > tared_s - 1.0 and estimate.disturbance is not None
    return water_g, estimator.close(70.0), touched


@pytest.mark.parametrize(
    ("rate_hz", "offs_g"),
    [
        (5, {-1: 19.2}),
        (5, {0: 60.0}),
        (10, {-1: -28.7}),
        (10, {-1: 14.4}),
        (10, {0: -10.1, 2: -58.7}),
        (20, {0: 9.6}),
        (20, {-2: -180.0, 2: -18.4}),
        (80, {-2: 23.0, 4: 24.0}),
    ],
)
def test_a_spike_beside_a_tare_hides_it_from_no_rate(
    rate_hz: int, offs_g: dict[int, float]
) -> None:
    """Taken for a touch, it was followed by a lift where the stream had gone on meanwhile."""
    water_g, last, touched = poured(rate_hz, offs_g, TARED_S)
    kinds = {event.kind for event in last.events} - {EventKind.SPIKE}
    assert kinds == {EventKind.SCALE_TARE}
    assert sum(pour.mass_g or 0.0 for pour in last.pours) == pytest.approx(water_g, abs=1.0)
    assert not touched


@pytest.mark.parametrize("rate_hz", [5, 10, 20])
def test_a_spike_on_the_way_to_zero_makes_a_tare_no_hand_that_lets_go(rate_hz: int) -> None:
    """What had come for longer than any hand presses stays poured."""
    water_g, last, _ = poured(rate_hz, {0: 22.9}, 22.0)
    kinds = {event.kind for event in last.events} - {EventKind.SPIKE}
    assert kinds == {EventKind.SCALE_TARE}
    assert sum(pour.mass_g or 0.0 for pour in last.pours) == pytest.approx(water_g, abs=1.0)


@pytest.mark.parametrize(
    ("rate_hz", "offs_g"), [(10, {0: -10.1, 2: -58.7}), (20, {-2: -180.0, 2: -18.4})]
)
def test_by_how_much_the_scale_tared_itself_is_no_doubt_that_it_did(
    rate_hz: int, offs_g: dict[int, float]
) -> None:
    """The spikes leave open how much had come by then, just as the bloom ends."""
    _, last, _ = poured(rate_hz, offs_g, 14.1)
    (tare,) = (event for event in last.events if event.kind is EventKind.SCALE_TARE)
    assert tare.probability > 0.98
