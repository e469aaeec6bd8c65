"""Limits of error of OIML R 76-1:2006, taken as a yardstick. This is no legal verification.

Table 6 gives the maximum permissible errors on initial verification; in service they are twice
that (3.5.2; the national form seen is UK S.I. 1995/1907, schedule 2). Table 3 bounds each class.
"""

from dataclasses import dataclass
from enum import Enum

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams


class AccuracyClass(Enum):
    """The two classes that a scale for coffee may fall in."""

    II = "II"
    III = "III"


# Table 6: up to this many intervals the error may be so many intervals.
_STEPS = {
    AccuracyClass.II: ((5_000, 0.5), (20_000, 1.0), (100_000, 1.5)),
    AccuracyClass.III: ((500, 0.5), (2_000, 1.0), (10_000, 1.5)),
}
IN_SERVICE = 2.0
# Of a good kitchen scale, and all that stands on it in a brew.
USUAL_INTERVAL_G: Grams = 0.1
USUAL_CAPACITY_G: Grams = 1000.0
# Table 3, as (least interval, largest interval, least count, largest count).
_BOUNDS = {
    AccuracyClass.II: ((0.001, 0.05, 100, 100_000), (0.1, float("inf"), 5_000, 100_000)),
    AccuracyClass.III: ((0.1, 2.0, 100, 10_000), (5.0, float("inf"), 500, 10_000)),
}
# Loads and intervals are decimal numbers in binary: 0.3 / 0.1 must count as 3.
_DIGITS = 9


@dataclass(frozen=True, slots=True)
class Yardstick:
    """What a scale is held against."""

    interval_g: Grams = USUAL_INTERVAL_G
    """The verification interval, e: the step by which the scale is to be trusted."""
    capacity_g: Grams = USUAL_CAPACITY_G
    """The heaviest load it is to weigh."""
    accuracy: AccuracyClass = AccuracyClass.III
    in_service: bool = True
    """Twice the limits of a scale that is new."""

    def __post_init__(self) -> None:
        for name, value in (("interval", self.interval_g), ("capacity", self.capacity_g)):
            if not 0.0 < value < float("inf"):
                raise UsageError(f"an {name} of {value:g} g makes no sense", "give one above 0")

    @property
    def intervals(self) -> float:
        """How many of them the capacity has, n."""
        return round(self.capacity_g / self.interval_g, _DIGITS)

    def limit_g(self, load_g: Grams) -> Grams:
        """The largest error allowed at a load, above or below."""
        load = round(abs(load_g) / self.interval_g, _DIGITS)
        steps = _STEPS[self.accuracy]
        share = next((share for up_to, share in steps if load <= up_to), steps[-1][1])
        return share * self.interval_g * (IN_SERVICE if self.in_service else 1.0)

    def class_fault(self) -> str | None:
        """Why no scale of this interval and capacity can be of the class; None where one can."""
        for least_g, largest_g, least, largest in _BOUNDS[self.accuracy]:
            if least_g <= self.interval_g <= largest_g:
                if least <= self.intervals <= largest:
                    return None
                return (
                    f"class {self.accuracy.value} at {self.interval_g:g} g has {least} to "
                    f"{largest} intervals, this scale would have {self.intervals:g}"
                )
        return f"class {self.accuracy.value} has no interval of {self.interval_g:g} g"


def yardstick_for(interval_g: Grams, capacity_g: Grams, *, in_service: bool = True) -> Yardstick:
    """The loosest class that allows such a scale; class III where neither does."""
    for accuracy in (AccuracyClass.III, AccuracyClass.II):
        yardstick = Yardstick(interval_g, capacity_g, accuracy, in_service)
        if yardstick.class_fault() is None:
            return yardstick
    return Yardstick(interval_g, capacity_g, AccuracyClass.III, in_service)
