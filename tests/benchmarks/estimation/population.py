"""Hands that pour, made up by seed, with the truth beside the readings.

Two kinds of hand. ``oscillator`` wobbles as a damped oscillator driven by noise, which is the
form the filter assumes. ``strokes`` steps at random from flow to flow and swings with each turn
of the kettle, which is not: it is there so that nobody is fooled by a filter that matches its own
generator. Ranges: means of 3 to 8 g/s, ramps of 0.15 to 0.5 s up and 0.1 to 0.35 s down, a flow
that wanders by 7 to 28 % around 0.2 to 1 Hz (assumed; no recording of hands was to be had).
Where it is asked for, water falls 5 to 15 cm, about 9, before it is weighed, and pushes where it
lands: the scale reads what has landed plus the time of the fall times the flow that lands. To live
filters that is a hand of quicker swings, so their tables go without it, as the limit does.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.signal import lfilter

from pourcoach.domain.inputs import Reading

FINE_HZ = 400.0
# The platform as a second-order low pass of 14 Hz: 16 ms late (assumed).
PLATFORM_HZ, PLATFORM_DAMPING = 14.0, 0.7
HANDS = ("oscillator", "strokes")

Array = np.ndarray


@dataclass(frozen=True)
class Scale:
    """Rate, white noise, step of the display, and how noise hangs together."""

    rate_hz: float
    noise_g: float
    step_g: float
    colour: float = 0.0
    """Lag-1 autocorrelation of the noise at 60 Hz."""

    @property
    def sigma_g(self) -> float:
        return float(np.hypot(self.noise_g, self.step_g / 12**0.5))


A = Scale(10.0, 0.03, 0.1)
B = Scale(80.0, 0.05, 0.0)


@dataclass(frozen=True)
class Brew:
    """One pour with rest before and after it, weighed."""

    fine_s: Array
    fine_flow: Array
    fine_mass: Array
    start_s: float
    """First water."""
    stop_s: float
    """Last water."""
    times_s: Array
    """When each reading was weighed."""
    grams: Array
    rate_hz: float

    def flow_at(self, t_s: Array | float) -> Array:
        return np.interp(t_s, self.fine_s, self.fine_flow)

    def mass_at(self, t_s: Array | float) -> Array:
        return np.interp(t_s, self.fine_s, self.fine_mass)

    @property
    def readings(self) -> list[Reading]:
        return [Reading(float(t), float(g)) for t, g in zip(self.times_s, self.grams, strict=True)]

    def true_cv(self, up_s: float = 1.0, down_s: float = 0.6) -> float:
        """Realised coefficient of variation of flow, ramps left out."""
        inside = (self.fine_s >= self.start_s + up_s) & (self.fine_s <= self.stop_s - down_s)
        flow = self.fine_flow[inside]
        return float(flow.std() / flow.mean())


def brew(
    seed: int,
    scale: Scale,
    hand: str = "oscillator",
    rest_s: tuple[float, float] = (6.0, 4.0),
    pour_s: tuple[float, float] = (6.0, 14.0),
    cv: tuple[float, float] = (0.07, 0.28),
    falls: bool = False,
) -> Brew:
    """One seeded brew; the same seed pours the same on any scale, whether or not it ``falls``."""
    rng = np.random.default_rng([seed, HANDS.index(hand)])
    duration_s = rng.uniform(*pour_s)
    lead_s = rest_s[0] + rng.uniform(0.0, 1.0)
    fine_s = np.arange(int((lead_s + duration_s + rest_s[1]) * FINE_HZ)) / FINE_HZ
    mean = rng.uniform(3.0, 8.0)
    wander = _oscillator(rng, fine_s) if hand == "oscillator" else _strokes(rng, fine_s)
    wanted = mean * np.maximum(1.0 + rng.uniform(*cv) * wander, 0.05)
    up_s, down_s = rng.uniform(0.15, 0.5), rng.uniform(0.1, 0.35)
    up = np.clip((fine_s - lead_s) / up_s, 0.0, 1.0)
    down = np.clip((lead_s + duration_s - fine_s) / down_s, 0.0, 1.0)
    flow = wanted * up * down
    mass = np.concatenate(([0.0], np.cumsum(0.5 * (flow[1:] + flow[:-1])) / FINE_HZ))
    return weigh(
        np.random.default_rng([seed, 7, int(scale.rate_hz)]),
        scale, fine_s, flow, mass, lead_s, lead_s + duration_s, fall_time_s(seed) if falls else 0.0,
    )  # fmt: skip


def fall_time_s(seed: int) -> float:
    """Of a free fall from the height at which this seed's hand holds the spout."""
    height_m = np.clip(np.random.default_rng([seed, 23]).normal(0.09, 0.027), 0.05, 0.15)
    return float(np.sqrt(2.0 * height_m / 9.80665))


def weigh(
    rng: np.random.Generator,
    scale: Scale,
    fine_s: Array,
    flow: Array,
    mass: Array,
    start_s: float,
    stop_s: float,
    fall_s: float = 0.0,
) -> Brew:
    """Put a weight through jet, platform, noise and rounding."""
    every = round(FINE_HZ / scale.rate_hz)
    phase = int(rng.integers(every))
    times = fine_s[phase::every]
    landed = np.interp(fine_s - fall_s, fine_s, mass)
    pushing = fall_s * np.interp(fine_s - fall_s, fine_s, flow)
    grams = _platform(landed + pushing)[phase::every] + _noise(rng, scale, len(times))
    if scale.step_g:
        grams = np.round(grams / scale.step_g) * scale.step_g
    return Brew(fine_s, flow, mass, start_s, stop_s, times, grams, scale.rate_hz)


def _noise(rng: np.random.Generator, scale: Scale, count: int) -> Array:
    white = rng.standard_normal(count)
    if scale.colour:
        rho = scale.colour ** (60.0 / scale.rate_hz)
        white = lfilter([np.sqrt(1.0 - rho * rho)], [1.0, -rho], white)
    return scale.noise_g * white


def _platform(mass: Array) -> Array:
    omega = 2.0 * np.pi * PLATFORM_HZ
    a, b = -2.0 * PLATFORM_DAMPING * omega / FINE_HZ, -((omega / FINE_HZ) ** 2)
    # Semi-implicit Euler of x'' = ω²(u - x) - 2ζω x'.
    return lfilter([0.0, -b], [1.0, -(2.0 + a + b), 1.0 + a], mass - mass[0]) + mass[0]


def _oscillator(rng: np.random.Generator, fine_s: Array) -> Array:
    """Unit variance, 0.2 to 1 Hz, with a slow wander mixed in."""
    omega = 2.0 * np.pi * np.exp(rng.uniform(np.log(0.2), np.log(1.0)))
    zeta = rng.uniform(0.15, 0.5)
    dt = 1.0 / FINE_HZ
    warm = int(20.0 * FINE_HZ)
    drive = rng.standard_normal(len(fine_s) + warm)
    a, b = -2.0 * zeta * omega * dt, -((omega * dt) ** 2)
    swing = lfilter([1.0], [1.0, -(2.0 + a + b), 1.0 + a], drive)[warm:]
    # The stationary size is known: the realised one of a short pour scatters about it.
    gain = 1.0 / (2.0 * np.sqrt(zeta * omega**3) * dt**1.5)
    return swing / gain


def _strokes(rng: np.random.Generator, fine_s: Array) -> Array:
    """Unit variance: correlated random steps, and a stroke with each turn of the hand."""
    dt = 1.0 / FINE_HZ
    jumps = rng.uniform(size=len(fine_s)) < 0.8 * dt
    level, levels = rng.standard_normal(), np.empty(len(fine_s))
    for index, jump in enumerate(jumps):
        if jump:
            level = 0.5 * level + np.sqrt(0.75) * rng.standard_normal()
        levels[index] = level
    tau_s = rng.uniform(0.08, 0.25)
    steps = lfilter([dt / tau_s], [1.0, dt / tau_s - 1.0], levels - levels[0]) + levels[0]
    turn = 2.0 * np.pi * np.cumsum(rng.uniform(0.4, 1.2) * (1 + 0.1 * steps)) * dt
    stroke = np.maximum(np.sin(turn + rng.uniform(0, 6.3)), 0.0) ** 2
    stroke = (stroke - 0.25) / 0.33
    share = rng.uniform(0.3, 0.8)
    return np.sqrt(share) * steps + np.sqrt(1.0 - share) * stroke


def touched_rest(seed: int, scale: Scale, duration_s: float, touches_per_h: float = 60.0) -> Brew:
    """A platform at rest that is touched now and then: pushes and pulls of 0.3 to 30 g for 0.03
    to 0.4 s (assumed)."""
    rng = np.random.default_rng([seed, 99])
    fine_s = np.arange(int(duration_s * FINE_HZ)) / FINE_HZ
    push = np.zeros(len(fine_s))
    for at in touch_times(rng, duration_s, touches_per_h):
        push += _touch(rng, fine_s, at)
    flow = np.zeros(len(fine_s))
    still = weigh(rng, scale, fine_s, flow, push, duration_s, duration_s)
    return Brew(
        fine_s, flow, flow, duration_s, duration_s, still.times_s, still.grams, scale.rate_hz
    )


def touch_times(rng: np.random.Generator, duration_s: float, per_h: float) -> Array:
    """When touches come: at random, none in the first five seconds."""
    count = rng.poisson(per_h * duration_s / 3600.0)
    return np.sort(rng.uniform(5.0, duration_s - 2.0, count))


def _touch(rng: np.random.Generator, fine_s: Array, at: float) -> Array:
    length_s = rng.uniform(0.03, 0.4)
    size_g = np.exp(rng.uniform(np.log(0.3), np.log(30.0))) * rng.choice([-1.0, 1.0])
    through = np.clip((fine_s - at) / length_s, 0.0, 1.0)
    return size_g * np.sin(np.pi * through) ** 2


def touched(seed: int, one: Brew, per_h: float) -> Brew:
    """The same brew with touches upon it."""
    rng = np.random.default_rng([seed, 98])
    lasts_s = float(one.fine_s[-1])
    push = np.zeros(len(one.fine_s))
    for at in touch_times(rng, lasts_s, per_h):
        push += _touch(rng, one.fine_s, at)
    return replace(one, grams=one.grams + np.interp(one.times_s, one.fine_s, _platform(push)))
