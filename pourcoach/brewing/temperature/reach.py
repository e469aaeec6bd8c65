"""Whether a temperature can be had where one brews, at the kettle and at the bed."""

from dataclasses import dataclass
from enum import Enum

from pourcoach.brewing.temperature.boiling import (
    PRESSURE_PA,
    WEATHER_SHARE,
    boiling_point_c,
    standard_pressure_pa,
)
from pourcoach.brewing.temperature.kettle_loss import KettleLoss
from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Celsius

THERMOMETER_C: Celsius = 1.0
"""What a kitchen thermometer may be off by (common practice)."""


class Reach(Enum):
    """Whether the kettle can have it."""

    YES = "yes"
    JUST = "just: on a day of low pressure it cannot be had"
    SELDOM = "seldom: only on a day of high pressure; water boils just below it here"
    NO = "no: water boils below it here"


@dataclass(frozen=True, slots=True)
class BrewingPlace:
    """Where one brews, as far as water boils there."""

    pressure_pa: float
    boils_c: Celsius
    boils_low_c: Celsius
    """On a day of low pressure; equal to ``boils_c`` where the pressure itself was measured."""
    boils_high_c: Celsius
    """On a day of high pressure, likewise."""
    altitude_m: float | None
    """None where the station pressure was given instead."""


def place_at_altitude(altitude_m: float) -> BrewingPlace:
    """By the standard atmosphere; weather moves it by about 3 %."""
    pressure_pa = standard_pressure_pa(altitude_m)
    low_c = boiling_point_c(pressure_pa * (1.0 - WEATHER_SHARE))
    # At the lowest shores a high day lies beyond what any weather map shows.
    high_c = boiling_point_c(min(pressure_pa * (1.0 + WEATHER_SHARE), PRESSURE_PA[1]))
    return BrewingPlace(pressure_pa, boiling_point_c(pressure_pa), low_c, high_c, altitude_m)


def place_at_pressure(pressure_pa: float) -> BrewingPlace:
    """By the station pressure now: what a barometer there reads, not reduced to sea level."""
    boils_c = boiling_point_c(pressure_pa)
    return BrewingPlace(pressure_pa, boils_c, boils_c, boils_c, None)


def refuse_temperature(temperature_c: Celsius) -> None:
    """Raise UsageError for what no water in the open is brewed at."""
    if not 0.0 <= temperature_c <= 100.0:
        raise UsageError(f"{temperature_c:g} °C is no brewing temperature", "aim at 0 to 100 °C")


def refuse_kettle(kettle_c: Celsius, place: BrewingPlace) -> None:
    """Raise UsageError for a kettle read hotter than water can be there."""
    if kettle_c > place.boils_high_c + THERMOMETER_C:
        raise UsageError(
            f"a kettle of {kettle_c:g} °C cannot be where water boils at {place.boils_c:.1f} °C",
            "look at the thermometer, and at the altitude or the station pressure",
        )


def reach(temperature_c: Celsius, place: BrewingPlace) -> Reach:
    """Whether an open kettle there can have that temperature."""
    if temperature_c > place.boils_high_c:
        return Reach.NO
    if temperature_c > place.boils_c:
        return Reach.SELDOM
    return Reach.YES if temperature_c <= place.boils_low_c else Reach.JUST


def best_bed_c(place: BrewingPlace, loss: KettleLoss) -> Celsius:
    """The most that a boiling kettle there brings to the bed."""
    return loss.bed_c(place.boils_c)
