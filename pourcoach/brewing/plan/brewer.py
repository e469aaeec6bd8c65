"""Kinds of hand brewer in general words, each with what it usually asks of a plan.

Every number here is common practice; no published source was found for any of them. A brewer,
its paper and the grind of the day decide more than the kind does.
"""

from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams, GramsPerSecond


@dataclass(frozen=True, slots=True)
class BrewerKind:
    """What a plan takes from the brewer unless specified otherwise."""

    name: str
    means: str
    dose_g: Grams
    """The usual dose."""
    most_dose_g: Grams
    """What the cone or basket holds with room for the water; above it a plan is warned about."""
    pours: int
    """After the bloom."""
    flow_gps: GramsPerSecond
    """Of the hand."""
    drain_gps: GramsPerSecond
    """Mean rate at which the wet bed passes water at the usual grind."""
    holds_ml: float
    """To the rim, with the paper in and no coffee."""


DEFAULT_BREWER = "small-cone"

BREWERS: dict[str, BrewerKind] = {
    kind.name: kind
    for kind in (
        BrewerKind(
            "small-cone", "cone dripper for one to two cups", 20.0, 32.0, 2, 5.0, 1.8, 280.0
        ),
        BrewerKind(
            "large-cone", "cone dripper for two to four cups", 32.0, 60.0, 3, 6.0, 2.8, 560.0
        ),
        BrewerKind("flat-bottom", "flat-bottom dripper", 22.0, 45.0, 3, 5.0, 2.0, 400.0),
        BrewerKind("thick-paper-carafe", "carafe with thick paper", 35.0, 70.0, 3, 6.0, 2.4, 700.0),
    )
}


def brewer_kind(name: str) -> BrewerKind:
    """The kind of that name. Raises UsageError listing the known ones."""
    try:
        return BREWERS[name]
    except KeyError:
        raise UsageError(
            f"unknown brewer {name!r}", "known kinds are " + ", ".join(BREWERS)
        ) from None
