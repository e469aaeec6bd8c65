"""Whether a temperature can be had where one brews, at the kettle and at the bed."""

from dataclasses import dataclass
from enum import Enum

from pourcoach.brewing.boiling import WEATHER_SHARE, boiling_point_c, standard_pressure_pa
from pourcoach.brewing.kettle_loss import KettleLoss
from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Celsius


class Reach(Enum):
    """Whether the kettle can have it."""

    YES = "yes"
    JUST = "just: on a day of low pressure it cannot be had"
    NO = "no: water boils below it here"


@dataclass(frozen=True, slots=True)
class Place:
    """Where one brews, as far as water boils there."""

    pressure_pa: float
    boils_c: Celsius
    boils_low_c: Celsius
    """On a day of low pressure; equal to ``boils_c`` where the pressure itself was measured."""
    altitude_m: float | None
    """None where the station pressure was told instead."""


def place_at_altitude(altitude_m: float) -> Place:
    """By the standard atmosphere; weather moves it by about 3 %."""
    pressure_pa = standard_pressure_pa(altitude_m)
    low_c = boiling_point_c(pressure_pa * (1.0 - WEATHER_SHARE))
    return Place(pressure_pa, boiling_point_c(pressure_pa), low_c, altitude_m)


def place_at_pressure(pressure_pa: float) -> Place:
    """By the station pressure now: what a barometer there reads, not reduced to sea level."""
    boils_c = boiling_point_c(pressure_pa)
    return Place(pressure_pa, boils_c, boils_c, None)


def reach(temperature_c: Celsius, place: Place) -> Reach:
    """Whether an open kettle there can have that temperature."""
    if not 0.0 <= temperature_c <= 150.0:
        raise UsageError(f"{temperature_c:g} °C is no brewing temperature", "aim at 0 to 100 °C")
    if temperature_c > place.boils_c:
        return Reach.NO
    return Reach.YES if temperature_c <= place.boils_low_c else Reach.JUST


def best_bed_c(place: Place, loss: KettleLoss) -> Celsius:
    """The most that a boiling kettle there brings to the bed."""
    return loss.bed_c(place.boils_c)
