"""Small made-up signals: what a scale would say of a known flow."""

from collections.abc import Callable

import numpy as np
import pytest

from pourcoach.domain.inputs import Reading

Flow = Callable[[float], float]


class Bench:
    """A seeded scale of some rate, noise and step."""

    def __init__(
        self, rate_hz: float = 10.0, noise_g: float = 0.03, step_g: float = 0.1, seed: int = 1
    ) -> None:
        self.rate_hz, self.noise_g, self.step_g = rate_hz, noise_g, step_g
        self.rng = np.random.default_rng(seed)

    def weigh(
        self,
        weight: Callable[[np.ndarray], np.ndarray],
        until_s: float,
        origin_s: float = 0.0,
    ) -> list[Reading]:
        """Readings of a weight that is a function of time."""
        times = np.arange(int(until_s * self.rate_hz)) / self.rate_hz
        grams = weight(times) + self.noise_g * self.rng.standard_normal(len(times))
        if self.step_g:
            grams = np.round(grams / self.step_g) * self.step_g
        return [Reading(float(t) + origin_s, float(g)) for t, g in zip(times, grams, strict=True)]


def poured(*pours: tuple[float, float, float]) -> Callable[[np.ndarray], np.ndarray]:
    """The weight of constant pours, each (start s, end s, flow g/s)."""

    def weight(times: np.ndarray) -> np.ndarray:
        total = np.zeros_like(times)
        for start_s, end_s, flow_gps in pours:
            total += flow_gps * (np.clip(times, start_s, end_s) - start_s)
        return total

    return weight


@pytest.fixture(params=[(10.0, 0.03, 0.1), (80.0, 0.05, 0.0)], ids=["10 Hz", "80 Hz"])
def bench(request: pytest.FixtureRequest) -> Bench:
    """Both usual scales: slow and coarse, fast and fine."""
    rate_hz, noise_g, step_g = request.param
    return Bench(rate_hz, noise_g, step_g)


@pytest.fixture
def pour_of() -> Callable[..., Callable[[np.ndarray], np.ndarray]]:
    """``poured`` as a fixture: test modules do not import one another."""
    return poured
