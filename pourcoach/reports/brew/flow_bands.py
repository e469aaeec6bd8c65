"""What the flow of each pour is judged against."""

from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import StagePour
from pourcoach.domain.units import GramsPerSecond, Seconds


@dataclass(frozen=True, slots=True)
class FlowBand:
    """Within it the flow of a pour is even. Times count from the first water."""

    start_s: Seconds
    end_s: Seconds
    mean_gps: GramsPerSecond
    half_gps: GramsPerSecond
    """The mean wander from which a pour is uneven."""

    def holds(self, brew_s: Seconds, flow_gps: GramsPerSecond) -> bool:
        """Whether this flow at this moment lies within."""
        return (
            self.start_s <= brew_s <= self.end_s and abs(flow_gps - self.mean_gps) <= self.half_gps
        )


def flow_bands(
    stages: Sequence[StagePour], limits: FlagLimits, brew_start_s: Seconds
) -> tuple[FlowBand, ...]:
    """One for each pour that is longer than its ramps."""
    bands = []
    for stage in stages:
        mean_gps = stage.mean_flow_gps
        for pour in stage.pours:
            if pour.end_s is None or mean_gps is None:
                continue
            first_s, last_s = pour.start_s + limits.ramp_up_s, pour.end_s - limits.ramp_down_s
            if first_s < last_s:
                half_gps = limits.uneven_cv * mean_gps
                bands.append(
                    FlowBand(first_s - brew_start_s, last_s - brew_start_s, mean_gps, half_gps)
                )
    return tuple(bands)
