"""A finished pour, refined from all its readings."""

import math

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.pours.evenness import evenness
from pourcoach.estimation.pours.ramp import fit_end, fit_start
from pourcoach.estimation.pours.record import Record

# Readings used on the still side and on the pouring side of each end.
STILL_SIDE_S = 1.5
POUR_SIDE_S = 0.8
# A fit further off than this from what was told live has found something else.
LARGEST_SHIFT_S = 0.6
# A start or an end is only seen where there is so much rest beside it.
LEAST_STILL_S = 0.1
# Where the weight has not risen by this much or so many deviations before the end that was told
# live, it was told late (common practice).
LEAST_RISE_G = 0.3
RISE_SIGMAS = 4.0
# Where the noise is smaller than a step, the mean of readings at rest is off by a share of the step
# that no number of readings takes away (simulated).
LEVEL_SHARE = 0.05


def refit(
    pour: Pour,
    record: Record,
    offset_g: Grams,
    traits: TraitsLearner,
    still_from_s: Seconds,
    still_to_s: Seconds,
) -> Pour:
    """Start, end, mass, mean flow and evenness in hindsight, each with its standard error.

    ``still_from_s`` and ``still_to_s`` are the end of the pour before and the start of the next:
    the still sides reach no further. What cannot be refitted stays as told live.
    """
    end_s, end_g = pour.end_s, pour.end_g
    if end_s is None or end_g is None:
        raise ValueError("a pour is refined when it has ended")
    noise_var = traits.noise_var
    start_s, start_g = pour.start_s, pour.start_g
    start_error_s = end_error_s = mass_error_g = flow_error = None
    side_s = min(POUR_SIDE_S, 0.5 * (end_s - start_s))
    last_rise_s = _last_rise(record, start_s, end_s, end_g + offset_g, math.sqrt(noise_var))
    if last_rise_s < end_s - side_s:
        end_s = last_rise_s
    times, grams = record.between(max(start_s - STILL_SIDE_S, still_from_s), start_s + side_s)
    start = fit_start(times, grams, noise_var)
    if start and start.t_s - times[0] < LEAST_STILL_S:
        start = None  # The readings begin with water running already.
    times, grams = record.between(end_s - side_s, min(end_s + STILL_SIDE_S, still_to_s))
    end = fit_end(times, grams, noise_var)
    if end and times[-1] - end.t_s < LEAST_STILL_S:
        end = None  # The readings stop while water runs.
    if start and abs(start.t_s - start_s) < LARGEST_SHIFT_S:
        start_s, start_error_s, start_g = start.t_s, start.t_error_s, start.level_g - offset_g
    if end and abs(end.t_s - end_s) < LARGEST_SHIFT_S:
        end_s, end_error_s, end_g = end.t_s, end.t_error_s, end.level_g - offset_g
    duration_s, mass_g = end_s - start_s, end_g - start_g
    if duration_s <= 0.0:
        return pour
    mean_flow = mass_g / duration_s
    if start and end and start_error_s is not None and end_error_s is not None:
        mass_error_g = math.hypot(
            start.level_error_g, end.level_error_g, LEVEL_SHARE * traits.rounding_g
        )
        flow_error = (
            math.hypot(mass_error_g, mean_flow * math.hypot(start_error_s, end_error_s))
            / duration_s
        )
    even = evenness(*record.between(start_s, end_s), start_s, end_s, noise_var)
    return Pour(
        start_s=start_s,
        start_g=start_g,
        end_s=end_s,
        end_g=end_g,
        mean_flow_gps=mean_flow,
        flow_cv=even.flow_cv if even else None,
        flow_cv_error=even.error if even else None,
        start_error_s=start_error_s,
        end_error_s=end_error_s,
        mass_error_g=mass_error_g,
        mean_flow_error_gps=flow_error,
        refined=True,
    )


def _last_rise(
    record: Record, start_s: Seconds, end_s: Seconds, level_g: Grams, noise_g: Grams
) -> Seconds:
    """When the weight was last clearly below the level at the end."""
    least_g = max(LEAST_RISE_G, RISE_SIGMAS * noise_g)
    times, grams = record.between(start_s, end_s)
    for t_s, g in zip(reversed(times), reversed(grams), strict=True):
        if g < level_g - least_g:
            return t_s
    return end_s
