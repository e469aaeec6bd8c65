"""How the readings come: how many a second, how evenly, and how many are lost."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Hertz, Seconds
from pourcoach.statistics.line_fit import fit_line
from pourcoach.weighing.figures.finding import Finding, Sentence, cannot

# Two seconds at 10 Hz: fewer intervals distinguish no rate from bursts.
LEAST_READINGS = 20
# A reading that follows the last one in less than this share of the period came in one burst
# with it.
BURST_SHARE = 0.25
# Surges are seen from 0.7 s on: fewer than five readings in that time show no more than its mass.
SLOW_HZ = 7.0
# An even beat within this is as good as a cable's (2 ms and less measured); a radio's is not.
UNEVEN_BEAT_S: Seconds = 0.015


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
        """Whether the scale says when it weighed."""
        return self.stamp_jitter_s is not None

    def findings(self) -> Iterator[Finding]:
        yield Finding("rate", f"{self.rate_hz:.1f} a second")
        yield Finding(
            "beat",
            f"{self.jitter_s * 1000:.0f} ms off, longest gap {self.longest_gap_s * 1000:.0f} ms, "
            f"{self.burst_share:.0%} in bursts"
            + (", stamped by the scale" if self.stamped else ""),
        )
        if self.missed is not None:
            yield Finding("lost on the way", f"{self.missed}")

    def sentences(self) -> Iterator[Sentence]:
        if self.rate_hz < SLOW_HZ:
            yield cannot(
                f"show short surges and stalls: {self.rate_hz:.1f} readings a second are few"
            )
        if self.jitter_s > UNEVEN_BEAT_S and not self.stamped:
            yield cannot(
                f"say when it weighed: readings come {self.jitter_s * 1000:.0f} ms off their "
                "beat, without a stamp of their own; flow is worked out more roughly for it"
            )
        if self.missed:
            yield cannot(f"be relied on for each reading: {self.missed} were lost on the way")


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
