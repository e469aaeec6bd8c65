"""What the water loses from the kettle to the bed, by one's own two readings.

The model, simple and stated: the fall goes with how far the water is above the room
(Newton's law of cooling over a fixed way), so one factor describes it:
``bed - room = keeps * (kettle - room)``. It holds for one kettle, height, flow and brewer;
another of these wants its own two readings.
"""

from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Celsius

# Half of the excess over the room lost on the way is no pour (common practice: a tenth is usual).
_LEAST_KEPT = 0.5


@dataclass(frozen=True, slots=True)
class KettleLoss:
    """A fitted loss."""

    keeps: float
    """Share of the excess over the room that arrives at the bed, above 0 and at most 1."""
    room_c: Celsius

    def bed_c(self, kettle_c: Celsius) -> Celsius:
        """What arrives at the bed from a kettle at that temperature."""
        return self.room_c + self.keeps * (kettle_c - self.room_c)

    def kettle_c(self, bed_c: Celsius) -> Celsius:
        """What the kettle must have for that temperature at the bed; may lie above boiling."""
        return self.room_c + (bed_c - self.room_c) / self.keeps


def fit_kettle_loss(kettle_c: Celsius, bed_c: Celsius, room_c: Celsius) -> KettleLoss:
    """Fit to a reading in the kettle and one at the bed of the same pour.

    Raises UsageError where the readings do not fall from kettle to bed to room, or fall too far.
    """
    if not room_c < bed_c <= kettle_c:
        raise UsageError(
            f"kettle {kettle_c:g} °C, bed {bed_c:g} °C and room {room_c:g} °C do not fall "
            "in that order",
            "read the kettle just before the pour and the bed during it",
        )
    keeps = (bed_c - room_c) / (kettle_c - room_c)
    if keeps < _LEAST_KEPT:
        raise UsageError(
            f"from {kettle_c:g} °C in the kettle to {bed_c:g} °C at the bed is more than a pour "
            "loses",
            "read the bed while the water falls on it, and the kettle just before",
        )
    return KettleLoss(keeps, room_c)
