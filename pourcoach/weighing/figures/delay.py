"""How late readings are, from a hand that presses the platform and a key at the same moment.

A constant delay cannot be seen in readings alone. Two hands of one person strike together within
some 20 ms (common practice; no published source used), so the median of several presses is good to
about that, far less than the 200 ms of a slow converter.
"""

import math
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.weighing.figures.finding import Finding, Sentence, can, cannot, do

# Late by more than a quick hand's own reaction, a scale cannot be poured by without lead.
LATE_S: Seconds = 0.15
# Flow with which a delay is turned into grams: a usual pour. Common practice.
USUAL_FLOW_GPS = 6.0
# With fewer, one odd press moves the median.
LEAST_PRESSES = 5
# A press is looked for this long around its key.
BEFORE_S: Seconds = 0.3
AFTER_S: Seconds = 0.8
# And must lift the weight by this much; a finger does ten times that.
LEAST_PRESS_G: Grams = 20.0


@dataclass(frozen=True, slots=True)
class Delay:
    """From the press to the reading that shows half of it."""

    delay_s: Seconds
    """Median."""
    spread_s: Seconds
    """Half of the middle half's width, 0 where the hands were perfect."""
    presses: int

    @property
    def error_s(self) -> Seconds:
        """One standard error of the median."""
        # For normal scatter: half the middle half is 0.6745 standard deviations, and a median
        # errs by the root of half pi, 1.2533, times as much as a mean.
        deviation_s = self.spread_s / 0.6745
        return 1.2533 * deviation_s / math.sqrt(self.presses)

    @property
    def late(self) -> bool:
        """Whether a pour cannot be steered by readings so late without lead."""
        return self.delay_s > LATE_S

    def findings(self) -> Iterator[Finding]:
        yield Finding(
            "delay of readings", f"{self.delay_s * 1000:.0f} ms ± {self.error_s * 1000:.0f} ms"
        )

    def sentences(self) -> Iterator[Sentence]:
        error = f"(±{self.error_s * 1000:.0f} ms)"
        if not self.late:
            yield can(
                f"be poured by: readings come {max(self.delay_s, 0.0) * 1000:.0f} ms late {error}"
            )
            return
        yield cannot(
            f"be followed at once: readings come {self.delay_s * 1000:.0f} ms late {error}, "
            f"{self.delay_s * USUAL_FLOW_GPS:.1f} g at {USUAL_FLOW_GPS:g} g/s"
        )
        yield do(
            f"set the delay of the scale to {self.delay_s:.2f} s, so that cues come that much "
            "sooner"
        )


def delay(keys_s: Sequence[Seconds], readings: Sequence[Reading]) -> Delay:
    """Keys and readings on one clock (arrival). Raises UsageError for too few clear presses."""
    lags_s = [lag_s for key_s in keys_s if (lag_s := _lag_s(key_s, readings)) is not None]
    if len(lags_s) < LEAST_PRESSES:
        raise UsageError(
            f"only {len(lags_s)} presses can be seen in the readings",
            f"press the platform and the key together, firmly, {LEAST_PRESSES} times or more",
        )
    quarters = statistics.quantiles(lags_s, n=4)
    return Delay(statistics.median(lags_s), (quarters[2] - quarters[0]) / 2, len(lags_s))


def _lag_s(key_s: Seconds, readings: Sequence[Reading]) -> Seconds | None:
    near = [one for one in readings if -BEFORE_S <= one.t_s - key_s <= AFTER_S]
    if len(near) < 4:
        return None
    base_g = near[0].grams
    top = max(range(len(near)), key=lambda index: near[index].grams)
    half_g = (near[top].grams - base_g) / 2
    if 2 * half_g < LEAST_PRESS_G:
        return None
    for one, two in pairwise(near):
        if one.grams - base_g < half_g <= two.grams - base_g:
            part = (half_g - (one.grams - base_g)) / (two.grams - one.grams)
            return one.t_s + part * (two.t_s - one.t_s) - key_s
    return None
