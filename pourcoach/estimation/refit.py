"""A finished pour, refined from all its readings."""

import math

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.evenness import evenness
from pourcoach.estimation.hinge import fit_rise, fit_stop
from pourcoach.estimation.record import Record

# Readings used on the still side and on the pouring side of each end.
STILL_SIDE_S = 1.5
POUR_SIDE_S = 0.6


def refit(
    pour: Pour,
    record: Record,
    offset_g: Grams,
    noise_var: float,
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
    start_s, start_g = pour.start_s, pour.start_g
    start_error_s = end_error_s = mass_error_g = flow_error = None
    side_s = min(POUR_SIDE_S, 0.5 * (end_s - start_s))
    times, grams = record.between(max(start_s - STILL_SIDE_S, still_from_s), start_s + side_s)
    rise = fit_rise(times, grams, noise_var)
    times, grams = record.between(end_s - side_s, min(end_s + STILL_SIDE_S, still_to_s))
    stop = fit_stop(times, grams, noise_var)
    if rise and math.isfinite(rise.t_error_s):
        start_s, start_error_s, start_g = rise.t_s, rise.t_error_s, rise.level_g - offset_g
    if stop and math.isfinite(stop.t_error_s):
        end_s, end_error_s, end_g = stop.t_s, stop.t_error_s, stop.level_g - offset_g
    duration_s, mass_g = end_s - start_s, end_g - start_g
    if duration_s <= 0.0:
        return pour
    mean_flow = mass_g / duration_s
    if rise and stop and start_error_s is not None and end_error_s is not None:
        mass_error_g = math.hypot(rise.level_error_g, stop.level_error_g)
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
