"""What of a pour can be judged."""

from dataclasses import dataclass
from enum import Enum


class PourMeasure(Enum):
    """Each is a figure beside the one that was asked for."""

    LANDING = "landing"
    """Total on the scale when a pour ends, beside its mark: g."""
    MASS = "mass"
    """Water of a pour, beside its own: g. Of all together where no pour is named."""
    FLOW = "flow"
    """Mean flow of a pour: g/s."""
    EVENNESS = "evenness"
    """How far the flow wanders within a pour, beside none at all: coefficient of variation."""
    DURATION = "duration"
    """How long a pour lasts: s."""
    START = "start"
    """When a pour begins, since the first water: s."""
    REST = "rest"
    """From the end of one pour to the beginning of the one named: s."""
    LIKENESS = "likeness"
    """Water of a pour beside the mean of all of them: g. Of the least like one."""


UNITS = {
    PourMeasure.LANDING: "g",
    PourMeasure.MASS: "g",
    PourMeasure.FLOW: "g/s",
    PourMeasure.EVENNESS: "",
    PourMeasure.DURATION: "s",
    PourMeasure.START: "s",
    PourMeasure.REST: "s",
    PourMeasure.LIKENESS: "g",
}


@dataclass(frozen=True, slots=True)
class Judged:
    """One measure with its band."""

    measure: PourMeasure
    band: float
    """Half the width, in the measure's unit; of FLOW as a share of the flow asked for. For a
    practised student; a beginner's is wider, an expert's narrower."""
    pour: int | None = None
    """From 1; None for the one that is farthest off, and for all water together."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What the student is asked to say before the result is shown."""

    measure: PourMeasure
    """MASS or FLOW."""
    pour: int | None = None
    """From 1; None for all water together."""
