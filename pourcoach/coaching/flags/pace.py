"""Whether a stage was poured so far from the planned flow that the water left the band."""

from math import hypot

from pourcoach.coaching.course.bounds import tolerance_g
from pourcoach.coaching.course.course import Course
from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.confidence import probability_above
from pourcoach.coaching.flow.hindsight import FlowVerdict
from pourcoach.domain.advice import Flag, FlagKind

FLOW_ERROR_SHARE = 0.02
"""Standard error of a mean flow as a share: its ends are known to a tenth of a second in five."""


def pace_flag(poured: Poured, course: Course, verdict: FlowVerdict) -> Flag | None:
    """Return the flag of a stage that is over, or None.

    It follows the words SLOW and MORE: a pace off by more than its limit, for so long that the
    water left the band. Stages poured as one, and water that came unseen, are not judged.
    """
    stage = poured.stage
    whole_gps, end_s = stage.mean_flow_gps, stage.end_s
    mean_gps, median_gps = verdict.mean_gps, verdict.usual_gps
    judged = poured.first == poured.index <= course.last
    if not judged or whole_gps is None or end_s is None:
        return None
    if mean_gps is None or median_gps is None:
        return None
    if any(pour.unseen_g for pour in stage.pours):
        return None
    plan = course.current
    planned_gps = plan.stages[poured.index].flow_gps
    poured_s = sum(pour.duration_s or 0.0 for pour in stage.pours)
    # A scale that follows slowly stretches the ramps, which lowers the mean of the whole; a stall
    # or a surge moves that between the ramps; and in strokes of two flows the median lies at the
    # one that lasts a moment longer. The pace is off where all three are.
    flows_gps = whole_gps, mean_gps, median_gps
    usual_gps = min(flows_gps, key=lambda flow_gps: abs(flow_gps - planned_gps))
    off_gps = usual_gps - planned_gps
    off_g, band_g = off_gps * poured_s, tolerance_g(plan, poured.index)
    allowed_gps = plan.limits.pace_share * planned_gps
    if abs(off_gps) <= allowed_gps or abs(off_g) <= band_g:
        return None
    errors = [pour.mean_flow_error_gps or 0.0 for pour in stage.pours]
    error_gps = hypot(max(errors), FLOW_ERROR_SHARE * planned_gps)
    sure = probability_above(abs(off_gps), allowed_gps, error_gps)
    return Flag(
        FlagKind.FAST_POUR if off_gps > 0.0 else FlagKind.SLOW_POUR,
        stage.start_s,
        end_s,
        stage.stage,
        sure * probability_above(abs(off_g), band_g, error_gps * poured_s),
        {
            "flow_gps": usual_gps,
            "planned_gps": planned_gps,
            "allowed_gps": allowed_gps,
            "off_g": off_g,
        },
        refined=all(pour.refined for pour in stage.pours),
    )
