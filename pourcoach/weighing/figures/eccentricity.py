"""One load in five places: does it matter where it stands? (OIML R 76-1, 3.6.2)"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams
from pourcoach.weighing.figures.finding import Finding, Sentence, cannot
from pourcoach.weighing.loads.known_load import KnownLoad
from pourcoach.weighing.loads.verification import Yardstick

CENTRE = "centre"
PLACES = (CENTRE, "front left", "front right", "back right", "back left")
# R 76-1, 3.6.2: a third of the capacity, in the middle of each quarter of the platform.
SHARE_OF_CAPACITY = 1.0 / 3.0


@dataclass(frozen=True, slots=True)
class Eccentricity:
    """Errors by place, the error at zero taken off."""

    load_g: Grams
    errors_g: Mapping[str, Grams]
    limit_g: Grams
    """Of each error."""

    @property
    def within(self) -> bool:
        return all(abs(error_g) <= self.limit_g for error_g in self.errors_g.values())

    @property
    def spread_g(self) -> Grams:
        """Between the two places that differ most."""
        return max(self.errors_g.values()) - min(self.errors_g.values())

    def findings(self) -> Iterator[Finding]:
        for place, error_g in self.errors_g.items():
            yield Finding(
                f"{self.load_g:.6g} g, {place}",
                f"{error_g:+.3f} g",
                f"{self.limit_g:.3g} g",
                abs(error_g) <= self.limit_g,
            )

    def sentences(self) -> Iterator[Sentence]:
        if not self.within:
            yield cannot(
                f"weigh alike everywhere: {self.spread_g:.2f} g between places; put the server in "
                "the same place each time, tare, then pour"
            )


def eccentricity(
    places: Mapping[str, KnownLoad], zero_g: Grams, yardstick: Yardstick
) -> Eccentricity:
    """``zero_g`` is what the empty scale showed. Raises UsageError where a place is missing."""
    missing = [place for place in PLACES if place not in places]
    if missing:
        raise UsageError("the load was not weighed " + ", ".join(missing), "weigh it in all five")
    load_g = places[CENTRE].true_g
    return Eccentricity(
        load_g,
        {place: places[place].error - zero_g for place in PLACES},
        yardstick.limit_g(load_g),
    )
