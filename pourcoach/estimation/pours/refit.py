"""A finished pour, refined from all its readings a slice at a time."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeAlias

from pourcoach.domain.pour import Pour
from pourcoach.domain.slices import Slices
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.pours.pour_readings import PourReadings
from pourcoach.estimation.pours.record import Record

if TYPE_CHECKING:
    from pourcoach.estimation.pours.ramp import Ramp  # numpy

# Readings used on the still side and on the pouring side of each end.
STILL_SIDE_S = 1.5
POUR_SIDE_S = 0.8
# A fit further off than this from what was reported live has found something else, and one that is
# no surer has found nothing.
LARGEST_SHIFT_S = 0.6
# A start or an end is only seen where there is so much rest beside it.
LEAST_STILL_S = 0.1
# Where the weight has not risen by this much or so many deviations before the end that was reported
# live, it was reported late (common practice).
LEAST_RISE_G = 0.3
RISE_SIGMAS = 4.0
# A rise longer than this is no swing of sloshing water (1 Hz and faster, common practice).
SWING_S = 0.6
# Where the noise is smaller than a step, the mean of readings at rest is off by a share of the step
# that no number of readings takes away (simulated).
LEVEL_SHARE = 0.05
# So many readings on each still side, this far from the pour, show noise; it is believed where both
# sides have so many times as much as was learnt before (chi-square with four degrees of freedom: by
# chance on both in three of ten thousand).
LEAST_RESTING = 5
CLEAR_S = 0.2
RESTLESS = 3.0
# Drumming of a pour too short to show its own, in seconds of flow: half of what robots' streams
# into cups were seen to do.
USUAL_DRUMMING_S = 0.012


class Refinement:
    """Start, end, mass, mean flow and evenness of one pour in hindsight, with standard errors.

    The readings are copied when it begins; each step takes some milliseconds, so that no input has
    to wait for a long pour, and the number of steps depends on the readings alone.
    """

    __slots__ = ("_slices", "live")

    def __init__(
        self,
        live: Pour,
        record: Record,
        traits: TraitsLearner,
        still_s: tuple[Seconds, Seconds],
    ) -> None:
        """``still_s`` are the end of the pour before and the start of the next: the still sides
        reach no further. Raises ValueError for a pour that still runs."""
        if live.end_s is None or live.end_g is None:
            raise ValueError("a pour is refined when it has ended")
        self.live = live
        """The pour as reported live."""
        from_s, to_s = still_s
        times, grams = record.between(
            max(live.start_s - STILL_SIDE_S, from_s), min(live.end_s + STILL_SIDE_S, to_s)
        )
        readings = PourReadings(
            times, grams, traits.scale_noise, record.fall.time_s, record.fall.error_s
        )
        arrived = record.arrivals_between(times[0], times[-1]) if times else ([], [])
        self._slices = _refined(live, readings, arrived, traits.noise_var)

    def step(self) -> Pour | None:
        """Work for a slice; gives the refined pour when that was the last.

        What cannot be refitted stays as reported live. Not to be called after it.
        """
        try:
            next(self._slices)
        except StopIteration as done:
            pour: Pour = done.value
            return pour
        return None

    def finish(self) -> Pour:
        """All that is left of the work at once."""
        pour = self.step()
        while pour is None:
            pour = self.step()
        return pour


_Arrived: TypeAlias = tuple[Sequence[Seconds], Sequence[Seconds]]
"""Stamps as reported live, and when those readings arrived."""


@dataclass(frozen=True, slots=True)
class _Edges:
    start: "Ramp | None"
    end: "Ramp | None"


def _refined(
    live: Pour, readings: PourReadings, arrived: _Arrived, noise_var: float
) -> Slices[Pour]:
    from pourcoach.estimation.pours.evenness import evenness_in_slices  # numpy

    if len(arrived[0]) >= len(readings.times_s) > 0:
        readings = yield from _restamped(readings, arrived, noise_var)
        yield

    assert live.end_s is not None
    assert live.end_g is not None
    more = _noise_beside(readings, live.start_s, live.end_s) / readings.noise.rest_var
    if more > RESTLESS:
        noise_var *= more
        louder = replace(readings.noise, rest_var=more * readings.noise.rest_var)
        readings = replace(readings, noise=louder)
    noise_g = math.sqrt(noise_var)
    last_rise_s = _last_rise(readings, live.start_s, live.end_s, live.end_g, noise_g)
    side_s = min(POUR_SIDE_S, 0.5 * (live.end_s - live.start_s))
    about_s = last_rise_s if last_rise_s < live.end_s - 0.5 * side_s else live.end_s
    ends_s = last_rise_s, about_s, live.end_s
    edges = yield from _edges(live.start_s, ends_s, readings, noise_var, USUAL_DRUMMING_S)
    pour = _placed(live, about_s, edges, readings)
    if pour is None:
        return live
    assert pour.end_s is not None
    even = yield from evenness_in_slices(readings, pour.start_s, pour.end_s)
    if even.drumming_s is not None:
        edges = yield from _edges(live.start_s, ends_s, readings, noise_var, even.drumming_s)
        pour = _placed(live, about_s, edges, readings) or pour
    return replace(
        pour,
        flow_cv=even.flow_cv,
        flow_cv_error=even.error,
        unjudged=even.why,
        refined=True,
    )


def _restamped(readings: PourReadings, arrived: _Arrived, noise_var: float) -> Slices[PourReadings]:
    """With the stamps that all arrivals together give, and what those may be off by; as they are
    where the scale itself counts or times some of them."""
    import numpy as np

    from pourcoach.estimation.stamps.restamping import restamped

    times, grams = np.array(readings.times_s), np.array(readings.grams)
    stamps, arrivals = np.array(arrived[0]), np.array(arrived[1])
    places = np.minimum(np.searchsorted(stamps, times), len(stamps) - 1)
    if not np.array_equal(stamps[places], times):
        return readings
    better = yield from restamped(times, arrivals[places], grams, noise_var)
    return replace(
        readings,
        times_s=better.times_s[better.kept].tolist(),
        grams=grams[better.kept].tolist(),
        stamp_vars_s2=better.vars_s2[better.kept].tolist(),
    )


def _noise_beside(readings: PourReadings, start_s: Seconds, end_s: Seconds) -> float:
    """Variance of a reading at rest before the pour or after it, whichever is less: of a scale that
    has not rested long enough to be known, g². 0 where too little is seen."""
    sides = (
        readings.between(-math.inf, start_s - CLEAR_S).grams,
        readings.between(end_s + CLEAR_S, math.inf).grams,
    )
    if min(map(len, sides)) < LEAST_RESTING:
        return 0.0
    import numpy as np

    return min(float(np.var(side, ddof=1)) for side in sides)


def _edges(
    start_s: Seconds,
    ends_s: tuple[Seconds, Seconds, Seconds],
    readings: PourReadings,
    noise_var: float,
    drumming_s: Seconds,
) -> Slices[_Edges]:
    """The first and the last water; None for one that is not seen near where it was reported.
    ``ends_s`` are when the weight last rose clearly, about where the end lies, and where it was
    reported."""
    from pourcoach.estimation.pours.ramp import fit_end, fit_start  # numpy

    rises_until_s, end_s, reported_s = ends_s
    side_s = min(POUR_SIDE_S, 0.5 * (end_s - start_s))
    part = readings.between(-math.inf, start_s + side_s)
    start = fit_start(part.times_s, part.grams, noise_var, readings.fall_s, drumming_s)
    yield
    if start and (
        start.t_s - part.times_s[0] < LEAST_STILL_S  # the readings begin with water running already
        or abs(start.t_s - start_s) >= LARGEST_SHIFT_S
        or start.t_error_s >= LARGEST_SHIFT_S
    ):
        start = None
    part = readings.between(end_s - side_s, math.inf)
    end = fit_end(part.times_s, part.grams, noise_var, readings.fall_s, drumming_s)
    yield
    if end and (
        part.times_s[-1] - end.t_s < LEAST_STILL_S  # the readings stop while water runs
        or end.t_s <= rises_until_s - LARGEST_SHIFT_S
        or end.t_s >= max(end_s + LARGEST_SHIFT_S, reported_s)
        or end.t_error_s >= LARGEST_SHIFT_S
    ):
        end = None
    return _Edges(start, end)


def _placed(live: Pour, about_s: Seconds, edges: _Edges, readings: PourReadings) -> Pour | None:
    """The pour between its edges; None where they leave nothing."""
    start, end = edges.start, edges.end
    start_s = start.t_s if start else live.start_s
    start_g = start.level_g if start else live.start_g
    end_s = end.t_s if end else about_s
    end_g = end.level_g if end else live.end_g
    if end_g is None or end_s <= start_s:
        return None
    duration_s, mass_g = end_s - start_s, end_g - start_g
    mass_error_g = flow_error = start_error_s = end_error_s = None
    if start:
        start_error_s = math.hypot(start.t_error_s, start.t_by_fall * readings.fall_error_s)
    if end:
        end_error_s = math.hypot(end.t_error_s, end.t_by_fall * readings.fall_error_s)
    if start and end:
        mass_error_g = math.hypot(
            start.level_error_g,
            end.level_error_g,
            (end.level_by_fall_gps - start.level_by_fall_gps) * readings.fall_error_s,
            LEVEL_SHARE * readings.noise.step_g,
        )
        # A fall that is taken wrong moves the ends apart, or together.
        duration_error_s = math.hypot(
            start.t_error_s,
            end.t_error_s,
            (end.t_by_fall - start.t_by_fall) * readings.fall_error_s,
        )
        flow_error = math.hypot(mass_error_g, mass_g / duration_s * duration_error_s) / duration_s
    return Pour(
        start_s=start_s,
        start_g=start_g,
        end_s=end_s,
        end_g=end_g,
        mean_flow_gps=mass_g / duration_s,
        start_error_s=start_error_s,
        end_error_s=end_error_s,
        mass_error_g=mass_error_g,
        mean_flow_error_gps=flow_error,
        unseen_g=live.unseen_g,
    )


def _last_rise(
    readings: PourReadings, start_s: Seconds, end_s: Seconds, level_g: Grams, noise_g: Grams
) -> Seconds:
    """When the weight was last clearly below the level at the end, but for a swing of water that
    had come up to it already."""
    low_g = level_g - max(LEAST_RISE_G, RISE_SIGMAS * noise_g)
    part = readings.between(start_s, end_s)
    rise_s, below = end_s, False
    for t_s, g in zip(reversed(part.times_s), reversed(part.grams), strict=True):
        if below and t_s < rise_s - SWING_S:
            break
        if g < low_g and not below:
            rise_s, below = t_s, True
        elif g >= level_g:
            below = False
    return rise_s
