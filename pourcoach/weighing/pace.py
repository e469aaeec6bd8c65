"""How the readings come: how many a second, how evenly, and how many are lost."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Hertz, Seconds
from pourcoach.weighing.line_fit import fit_line

# Two seconds at 10 Hz: fewer intervals tell no rate from bursts.
LEAST_READINGS = 20
# A reading that follows the last one in less than this share of the period came in one burst
# with it.
BURST_SHARE = 0.25


@dataclass(frozen=True, slots=True)
class Pace:
    """Of a stretch of readings, whatever they weigh."""

    rate_hz: Hertz
    longest_gap_s: Seconds
    jitter_s: Seconds
    """Standard deviation of arrival about an even beat."""
    burst_share: float
    """Share of readings that came together with the one before."""
    stamp_jitter_s: Seconds | None
    """The same of the scale's own stamps; None where it sends none."""
    missed: int | None
    """Lost on the way, by the sequence numbers; None where it sends none."""

    @property
    def stamped(self) -> bool:
        """Whether the scale tells when it weighed."""
        return self.stamp_jitter_s is not None


def pace(readings: Sequence[Reading]) -> Pace:
    """Raises UsageError for fewer than LEAST_READINGS, or where no time passes."""
    if len(readings) < LEAST_READINGS or readings[-1].t_s <= readings[0].t_s:
        raise UsageError("too few readings to tell their rate", "listen for longer")
    times = [reading.t_s for reading in readings]
    sequences = [reading.sequence for reading in readings]
    counted = [sequence for sequence in sequences if sequence is not None]
    rising = len(counted) == len(readings) and all(one < two for one, two in pairwise(counted))
    beat = [float(number) for number in (counted if rising else range(len(readings)))]
    arrival = fit_line(beat, times)
    period_s = arrival.slope
    gaps_s = [two - one for one, two in pairwise(times)]
    stamps = [reading.device_s for reading in readings if reading.device_s is not None]
    stamp_jitter_s = None
    if len(stamps) == len(readings):
        stamp_jitter_s = fit_line(beat, stamps).residual_sd
    return Pace(
        1.0 / period_s,
        max(gaps_s),
        arrival.residual_sd or 0.0,
        sum(gap_s < BURST_SHARE * period_s for gap_s in gaps_s) / len(gaps_s),
        stamp_jitter_s,
        counted[-1] - counted[0] + 1 - len(counted) if rising else None,
    )
