"""What is to be known of a scale to simulate it."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams, Hertz, Seconds
from pourcoach.simulation.ticks import TICK_S


@dataclass(frozen=True, slots=True)
class ScaleModel:
    """Load cell, converter, clock and link. The defaults are those of a good kitchen scale on a
    cable; where no source stands, a value is chosen."""

    rate_hz: Hertz = 10.0
    resolution_g: Grams = 0.1
    """Step of the display; 0 for none."""
    noise_g: Grams = 0.03
    """Fast, standard deviation of one reading."""
    flicker_g: Grams = 0.005
    """1/f from 60 s to 0.05 s, standard deviation of one reading."""
    noise_lag_1: float = 0.0
    """Correlation of the fast noise from one reading to the next; 0 is white. Logged boards at rest
    showed about 0.5, at 11 Hz as at 60 Hz."""
    natural_hz: Hertz = 14.0
    damping: float = 0.7
    """Of platform and analogue filter together: with 14 Hz, 16 ms late."""
    slosh_g_per_gps: float = 0.01
    """How far the weight swings when the flow is cut at once, by that flow."""
    dip_g: Grams = 0.15
    """How far the weight dips at the first impact on dry coffee; logged pours show such dips."""
    drumming_s: Seconds = 0.0
    """Noise of falling water, by its flow: standard deviation of one reading. 0.024 s (quartiles
    of its ratio to the noise at rest 3.6 to 8.8) in logs of thick robot streams into cups, half of
    it a likely value for a kettle over a bed."""
    creep_share: float = 0.0003
    """Of the load, gained over 30 min: a typical data sheet's 0.03 %."""
    drift_g_per_k: float = 0.02
    """Of the zero: 0.002 % of 1 kg a kelvin, a typical data sheet (from memory)."""
    warming_k: float = 5.0
    """How much the cell will warm under a hot brewer, in the end."""
    settling_samples: float = 0.0
    """Conversions over which the converter averages. An unsettled delta-sigma converter takes 4."""
    clock_ppm: float = 30.0
    """The device's clock runs this much fast: a plain crystal; an RC clock is off by 10 000."""
    clock_wander_ppm: float = 1.0
    """How much that changes in a minute, standard deviation."""
    latency_s: Seconds = 0.004
    """From weighing to arrival, at least."""
    jitter_s: Seconds = 0.002
    """More than that, exponentially distributed: mean and standard deviation."""
    burst_s: Seconds = 0.0
    """Arrivals only at multiples of this (a radio's connection interval); 0 for a cable."""
    loss: float = 0.0
    """Share of readings that never arrive."""
    packet_loss: float = 0.0
    """Share of the radio's packets that never arrive, with every reading that had a part in one."""
    spikes: float = 0.0
    """Share of readings that are far off, alone: users of cheap converter boards report 1 to
    5 %."""
    stale: float = 0.0
    """Share of readings that repeat the weight of the one before."""
    doubled: float = 0.0
    """Share of readings that arrive twice."""
    sends_time: bool = False
    sends_sequence: bool = False
    touches_per_min: float = 0.0
    """Brushes of a hand or a sleeve: 1 to 20 g either way for 0.05 to 0.3 s."""
    cells: int = 1
    """Load cells under the platform: 1, or 3 and more on a circle, distinguished in the
    readings."""
    capacity_g: Grams = 3000.0
    untared_g: Grams = 0.0
    """What it shows before any water comes: vessels and coffee that nobody has tared away."""

    def __post_init__(self) -> None:
        for name, low, high in _BOUNDS:
            value = getattr(self, name)
            if not low <= value <= high:
                raise UsageError(
                    f"the simulated scale's {name} is {value:g}",
                    f"choose one from {low:g} to {high:g}",
                )
        if self.cells == 2:
            raise UsageError("two load cells cannot place a load", "choose 1, or 3 and more")


_MANY = 1e6
_BOUNDS: tuple[tuple[str, float, float], ...] = (
    ("rate_hz", 1.0, 0.8 / TICK_S),  # a reading needs more than one tick
    ("resolution_g", 0.0, _MANY),
    ("noise_g", 0.0, _MANY),
    ("noise_lag_1", 0.0, 0.99),
    ("flicker_g", 0.0, _MANY),
    ("drumming_s", 0.0, 1.0),
    ("natural_hz", 1.0, _MANY),
    ("damping", 0.0, 0.99),
    ("settling_samples", 0.0, 100.0),
    ("clock_ppm", -50_000.0, 50_000.0),
    ("clock_wander_ppm", 0.0, 1000.0),
    ("latency_s", 0.0, 10.0),
    ("jitter_s", 0.0, 10.0),
    ("burst_s", 0.0, 10.0),
    ("loss", 0.0, 1.0),
    ("packet_loss", 0.0, 1.0),
    ("spikes", 0.0, 1.0),
    ("stale", 0.0, 1.0),
    ("doubled", 0.0, 1.0),
    ("touches_per_min", 0.0, 600.0),
    ("cells", 1, 8),
    ("capacity_g", 1.0, _MANY),
    ("untared_g", 0.0, _MANY),
)

USUAL_SCALE = ScaleModel()

IDEAL = ScaleModel(
    flicker_g=0.0,
    slosh_g_per_gps=0.0,
    dip_g=0.0,
    creep_share=0.0,
    drift_g_per_k=0.0,
    clock_ppm=0.0,
    clock_wander_ppm=0.0,
    latency_s=0.0,
    jitter_s=0.0,
)
"""White noise and steps alone, on a perfect clock and cable: what a computed limit assumes."""

MODELS: Mapping[str, ScaleModel] = MappingProxyType(
    {
        "kitchen": USUAL_SCALE,
        "bench": ScaleModel(
            rate_hz=80.0, resolution_g=0.01, noise_g=0.05, sends_time=True, sends_sequence=True
        ),
        "radio": ScaleModel(
            burst_s=0.048, jitter_s=0.01, loss=0.005, doubled=0.002, sends_sequence=True
        ),
        "cheap": ScaleModel(
            noise_g=0.08, flicker_g=0.05, settling_samples=4, clock_ppm=8000.0, stale=0.01
        ),
        # After logs of a scale under a robot's pours: noise at rest that hangs together by about
        # a half from reading to reading, a dip at the first impact, slosh after the stop.
        "lively": ScaleModel(
            rate_hz=60.0, noise_g=0.03, flicker_g=0.035, slosh_g_per_gps=0.04, dip_g=0.5
        ),
        # A load cell on a cheap converter board, by cable: fast, noisy and coloured, with spikes,
        # an RC clock, and water that drums (the likely value).
        "board": ScaleModel(
            rate_hz=80.0,
            resolution_g=0.01,
            noise_g=0.05,
            noise_lag_1=0.5,
            drumming_s=0.012,
            clock_ppm=8000.0,
            spikes=0.02,
        ),
        # Readings in bunches of three over a radio that loses packets, with no count of them.
        "patchy": ScaleModel(
            rate_hz=20.0, burst_s=0.15, jitter_s=0.01, packet_loss=0.03, drumming_s=0.012
        ),
        "ideal": IDEAL,
    }
)
"""By name."""


def model_named(name: str) -> ScaleModel:
    """The scale of that name; raises UsageError that lists which there are."""
    if name not in MODELS:
        raise UsageError(f"no simulated scale is called {name!r}", "there are " + ", ".join(MODELS))
    return MODELS[name]
