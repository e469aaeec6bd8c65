"""A load left standing, and the zero after it (OIML R 76-1, 3.9.4)."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.weighing.figures.finding import Finding, Sentence, do
from pourcoach.weighing.loads.verification import Yardstick

# R 76-1, 3.9.4.1: within 0.5 e over the first 30 min, and within 0.2 e from 15 min to 30 min.
WHOLE_S: Seconds = 1800.0
LATE_FROM_S: Seconds = 900.0
WHOLE_INTERVALS = 0.5
LATE_INTERVALS = 0.2
# R 76-1, 3.9.4.2.
ZERO_INTERVALS = 0.5
# One moment of the run is the mean of this much, so that noise is not taken for creep.
MOMENT_S: Seconds = 5.0


@dataclass(frozen=True, slots=True)
class Creep:
    """How the indication wandered under a constant load."""

    span_s: Seconds
    change_g: Grams
    """The farthest from where it began, with its sign."""
    late_g: Grams | None
    """From 15 min to 30 min; None for a shorter run."""
    limit_g: Grams
    late_limit_g: Grams

    @property
    def whole(self) -> bool:
        """Whether it ran as long as the standard asks."""
        return self.late_g is not None

    @property
    def within(self) -> bool:
        """For a run cut short, only as far as it went."""
        late_good = self.late_g is None or abs(self.late_g) <= self.late_limit_g
        return abs(self.change_g) <= self.limit_g and late_good

    def findings(self) -> Iterator[Finding]:
        span = f"{self.span_s / 60:.0f} min" if self.span_s >= 60 else f"{self.span_s:.0f} s"
        yield Finding(
            f"creep over {span}",
            f"{self.change_g:+.3f} g",
            f"{self.limit_g:.3g} g over 30 min",
            abs(self.change_g) <= self.limit_g,
        )
        if self.late_g is not None:
            yield Finding(
                "creep from 15 min to 30 min",
                f"{self.late_g:+.3f} g",
                f"{self.late_limit_g:.3g} g",
                abs(self.late_g) <= self.late_limit_g,
            )

    def sentences(self) -> Iterator[Sentence]:
        if not self.within:
            yield do(
                f"tare before each brew: a load left standing moved {self.change_g:+.2f} g in "
                f"{self.span_s / 60:.0f} min"
            )


@dataclass(frozen=True, slots=True)
class ZeroReturn:
    """What the empty scale shows after the load, less what it showed before."""

    change_g: Grams
    limit_g: Grams

    @property
    def within(self) -> bool:
        return abs(self.change_g) <= self.limit_g

    def findings(self) -> Iterator[Finding]:
        yield Finding(
            "zero after the load", f"{self.change_g:+.3f} g", f"{self.limit_g:.3g} g", self.within
        )

    def sentences(self) -> Iterator[Sentence]:
        if not self.within:
            yield do(f"tare between brews: zero came back {self.change_g:+.2f} g off")


def creep(readings: Sequence[Reading], yardstick: Yardstick) -> Creep:
    """Readings from when the load had come to rest. Raises UsageError for a run too short."""
    moments = _moments(readings)
    if len(moments) < 2:
        raise UsageError(
            "the load stood too short a time to tell creep", f"leave it {2 * MOMENT_S:g} s or more"
        )
    began_s, began_g = moments[0]
    change_g = max((grams - began_g for _, grams in moments), key=abs)
    late_g = None
    if moments[-1][0] - began_s >= WHOLE_S - MOMENT_S:
        from_g = next(grams for t_s, grams in moments if t_s - began_s >= LATE_FROM_S - MOMENT_S)
        late_g = moments[-1][1] - from_g
    return Creep(
        readings[-1].t_s - readings[0].t_s,
        change_g,
        late_g,
        WHOLE_INTERVALS * yardstick.interval_g,
        LATE_INTERVALS * yardstick.interval_g,
    )


def zero_return(before_g: Grams, after_g: Grams, yardstick: Yardstick) -> ZeroReturn:
    """From the empty scale's means before and after the load stood on it."""
    return ZeroReturn(after_g - before_g, ZERO_INTERVALS * yardstick.interval_g)


def _moments(readings: Sequence[Reading]) -> list[tuple[Seconds, Grams]]:
    """Means over whole stretches of MOMENT_S, each with the time of its middle."""
    blocks: dict[int, list[Reading]] = {}
    for reading in readings:
        blocks.setdefault(int((reading.t_s - readings[0].t_s) // MOMENT_S), []).append(reading)
    return [
        ((number + 0.5) * MOMENT_S, sum(one.grams for one in block) / len(block))
        for number, block in sorted(blocks.items())
    ]
