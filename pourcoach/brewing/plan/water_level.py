"""How high the water stands in a brewer while a plan is poured, and whether it stays inside.

A simple model, on the safe side: the grounds take up what they keep before any water runs through;
after that the wet bed passes water at the brewer's mean rate whenever any stands. A full brewer
passes more than that, so a level near the rim is, if anything, overstated.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from pourcoach.brewing.plan.brewer import BrewerKind
from pourcoach.brewing.strength.extraction import RETAINED_G_PER_G
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

# A gram of dry grounds with the 2 g that it keeps, and its swelling (common practice).
WET_BED_ML_PER_G = 3.0
# A finger's breadth below the rim, in shares of what the brewer holds (common practice).
FULL_SHARE = 0.9


class WaterLevel:
    """Water in the brewer as it is poured and runs through, from a dry bed on."""

    def __init__(self, kind: BrewerKind, dose_g: Grams) -> None:
        self._kind = kind
        self._bed_ml = WET_BED_ML_PER_G * dose_g
        self._thirst_g = RETAINED_G_PER_G * dose_g
        self.standing_g = 0.0
        """Above what the grounds keep."""

    @property
    def filled_ml(self) -> float:
        """With the bed; brew water counts as 1 g a mL, which is 4 % on the low side when hot."""
        return self._bed_ml + self.standing_g

    def pour(self, water_g: Grams, flow_gps: GramsPerSecond) -> None:
        """Pour so much at that flow; the level is highest at a pour's end, or falls during it."""
        taken_g = min(self._thirst_g, water_g)
        self._thirst_g -= taken_g
        rest_s = (water_g - taken_g) / flow_gps
        rise_gps = flow_gps - self._kind.drain_gps
        self.standing_g = max(0.0, self.standing_g + rise_gps * rest_s)

    def wait(self, span_s: Seconds) -> None:
        """Let it run through."""
        self.standing_g = max(0.0, self.standing_g - self._kind.drain_gps * span_s)

    def drained_s(self) -> Seconds:
        """How long until nothing stands."""
        return self.standing_g / self._kind.drain_gps


@dataclass(frozen=True, slots=True)
class Overflow:
    """The first stage that brings the water above where it should stand."""

    stage: str
    filled_ml: float
    kind: BrewerKind

    @property
    def says(self) -> str:
        """In a sentence, without its end."""
        return (
            f"{self.stage} would fill a {self.kind.means} to {self.filled_ml:.0f} mL, where "
            f"{FULL_SHARE * self.kind.holds_ml:.0f} mL of its {self.kind.holds_ml:g} mL are safe: "
            "hot water over the edge scalds"
        )


def overflow_of(kind: BrewerKind, dose_g: Grams, stages: Iterable[Stage]) -> Overflow | None:
    """The first stage after which the brewer is fuller than it should be; None where none is."""
    level = WaterLevel(kind, dose_g)
    now_s, from_g = 0.0, 0.0
    for stage in stages:
        level.wait(max(0.0, stage.start_s - now_s))
        level.pour(stage.to_g - from_g, stage.flow_gps)
        if level.filled_ml > FULL_SHARE * kind.holds_ml:
            return Overflow(stage.name, level.filled_ml, kind)
        now_s = stage.start_s + (stage.to_g - from_g) / stage.flow_gps
        from_g = stage.to_g
    return None


def refuse_overflow(plan: Plan, kind: BrewerKind, *, pours_given: bool = True) -> None:
    """Raise UsageError where pouring that plan would fill the brewer above its rim."""
    over = overflow_of(kind, plan.dose_g, plan.stages)
    if over is not None:
        more = "more pours, " if pours_given else ""
        raise UsageError(
            over.says, f"use {more}a slower flow, less coffee and water, or a larger brewer"
        )
