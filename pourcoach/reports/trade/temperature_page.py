"""Brewing temperature at a place and through a kettle's loss, as figures and as lines of text."""

from typing import Any

from pourcoach.brewing.temperature.bands import CONTACT_BAND_C, CONTACT_BAND_F, fahrenheit
from pourcoach.brewing.temperature.kettle_loss import KettleLoss
from pourcoach.brewing.temperature.reach import BrewingPlace, best_bed_c, reach
from pourcoach.brewing.temperature.scald import scald_caution
from pourcoach.brewing.temperature.water_properties import density_kg_per_m3


def temperature_figures(
    aim_c: float, kettle_c: float, place: BrewingPlace, loss: KettleLoss | None
) -> dict[str, Any]:
    """The figures of ``--json``."""
    return {
        "aim_c": aim_c,
        "aim_f": round(fahrenheit(aim_c), 2),
        "pressure_hpa": round(place.pressure_pa / 100.0, 2),
        "boils_c": round(place.boils_c, 3),
        "boils_low_c": round(place.boils_low_c, 3),
        "boils_high_c": round(place.boils_high_c, 3),
        "kettle_c": round(kettle_c, 2),
        "reach": reach(kettle_c, place).name.lower(),
        "keeps": None if loss is None else round(loss.keeps, 4),
        "best_bed_c": None if loss is None else round(best_bed_c(place, loss), 2),
        "density_kg_per_m3": round(density_kg_per_m3(aim_c), 2),
        "caution": scald_caution(aim_c),
    }


def temperature_lines(
    aim_c: float, kettle_c: float, place: BrewingPlace, loss: KettleLoss | None
) -> list[str]:
    """What can be had, where and with which loss, a line each."""
    low, high = CONTACT_BAND_C
    low_f, high_f = CONTACT_BAND_F
    lines = [
        f"aim        {aim_c:.1f} °C = {fahrenheit(aim_c):.1f} °F "
        f"(published for contact: {low:g}-{high:g} °C; in °F {low_f:g}-{high_f:g})",
        f"boils      {place.boils_c:.1f} °C {_where(place)}",
    ]
    if loss is None:
        lines.append(f"can it be  {reach(kettle_c, place).value}")
    else:
        lines += [
            f"loss       {100.0 * (1.0 - loss.keeps):.1f} % of what the water is above a room of "
            f"{loss.room_c:g} °C, from kettle to bed",
            _kettle_line(aim_c, kettle_c, place),
            f"can it be  {reach(kettle_c, place).value}; "
            f"from a boiling kettle the bed gets {best_bed_c(place, loss):.1f} °C",
        ]
    lines.append(f"1 litre    weighs {density_kg_per_m3(aim_c):.0f} g at {aim_c:.1f} °C")
    caution = scald_caution(max(aim_c, min(kettle_c, place.boils_c)))
    if caution is not None:
        lines.append(f"caution    {caution}")
    return lines


def _kettle_line(aim_c: float, kettle_c: float, place: BrewingPlace) -> str:
    if kettle_c > place.boils_high_c:
        return f"kettle     none there is hot enough for {aim_c:.1f} °C at the bed with that loss"
    return f"kettle     {kettle_c:.1f} °C for {aim_c:.1f} °C at the bed"


def _where(place: BrewingPlace) -> str:
    if place.altitude_m is None:
        return (
            f"at {place.pressure_pa / 100:.0f} hPa of station pressure (not reduced to sea level)"
        )
    return (
        f"at {place.altitude_m:g} m ({place.pressure_pa / 100:.0f} hPa in the standard atmosphere; "
        f"{place.boils_low_c:.1f}-{place.boils_high_c:.1f} °C with the weather)"
    )


def temperature_reasons(
    aim_c: float, kettle_c: float, place: BrewingPlace, loss: KettleLoss | None
) -> list[str]:
    """Formulas, numbers and sources, for ``--why``."""
    lines = []
    if place.altitude_m is not None:
        lines += [
            "p = 1013.25 hPa × (1 - 0.0065 h / 288.15)^5.2559, h in geopotential metres",
            f"  h from {place.altitude_m:g} m: p = {place.pressure_pa / 100:.2f} hPa",
            "  source: ICAO standard atmosphere (ISO 2533); weather moves it by about 3 %",
        ]
    lines += [
        "boiling point: saturation temperature at that pressure",
        f"  T({place.pressure_pa / 100:.2f} hPa) = {place.boils_c:.3f} °C",
        "  source: IAPWS-IF97, region 4, equation 31",
    ]
    if loss is not None:
        lines += [
            "bed - room = keeps × (kettle - room)",
            f"  kettle = {loss.room_c:g} + ({aim_c:.1f} - {loss.room_c:g}) / {loss.keeps:.4f}"
            f" = {kettle_c:.1f} °C",
            "  source: Newton's law of cooling, fitted to your two readings; holds for this "
            "kettle, height, flow and brewer",
        ]
    lines += [
        f"density of water at {aim_c:.1f} °C = {density_kg_per_m3(aim_c):.2f} kg/m3",
        "  source: Kell 1975 (coefficients from memory), within 0.03 of IAPWS-IF97",
        "contact bands: SCAA Golden Cup Standard 2015; the °C and °F bands are as printed and no "
        "exact conversions",
        "87, 90 and 93 °C tasted alike at the same strength and extraction: Batali, Ristenpart & "
        "Guinard 2020; up to 96 °C, common practice",
    ]
    return lines
