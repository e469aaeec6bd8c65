"""A water's verdict as figures and as lines of text; safety stands first where it decides."""

from textwrap import wrap
from typing import Any

from pourcoach.brewing.water.langelier_short_form import short_form_saturation_ph
from pourcoach.brewing.water.scaling import Scaling, Vessel
from pourcoach.brewing.water.targets import ItemStanding, ItemVerdict, Standard
from pourcoach.brewing.water.water import PRIVATE_SOURCES, Water
from pourcoach.brewing.water.water_verdict import MACHINE, WaterVerdict

WIDTH = 96


def water_figures(water: Water, standard: Standard, verdict: WaterVerdict) -> dict[str, Any]:
    """The figures of ``--json``."""
    return {
        "water": _rounded(water.as_dict()),
        "standard": standard.name,
        "overall": verdict.overall.value,
        "items": [
            {
                "item": item.target.item,
                "value": None if item.value is None else round(item.value, 3),
                "at_most": item.at_most,
                "standing": item.standing.value,
                "aim": item.target.aim,
                "low": item.target.low,
                "high": item.target.high,
                "means": item.means,
            }
            for item in verdict.items
        ],
        "scaling": [
            {
                "temperature_c": one.temperature_c,
                "vessel": one.vessel.value,
                "ph": round(one.ph, 2),
                "saturation_index": round(one.saturation_index, 3),
                "ryznar_index": round(one.ryznar_index, 3),
                "puckorius_index": round(one.puckorius_index, 3),
                "at_most": one.at_most,
                "says": one.says,
            }
            for one in verdict.scaling
        ],
        "softened": verdict.softened,
        "safety": list(verdict.safety),
    }


def water_lines(
    water: Water, standard: Standard, verdict: WaterVerdict, *, why: bool = False
) -> list[str]:
    """The verdict as a page."""
    lines = [f"{verdict.overall.value} ({standard.name}: {standard.source})", ""]
    lines += _item_table(verdict.items)
    for item in verdict.items:
        if item.means:
            lines += _wrapped(f"{item.target.noun}: {item.means}")
    if verdict.softened is not None:
        lines += ["", *_wrapped(verdict.softened)]
    lines += ["", *_scaling_lines(water, verdict.scaling)]
    if why:
        lines += _scaling_reasons(water, verdict.scaling)
    lines += ["", *(line for word in verdict.safety for line in _wrapped(word))]
    return lines


_NOUNS = {
    "tds_mgl": "dissolved solids {} mg/L",
    "hardness_mgl": "hardness {} mg/L CaCO3",
    "calcium_hardness_mgl": "calcium {} mg/L CaCO3",
    "magnesium_hardness_mgl": "magnesium {} mg/L CaCO3",
    "alkalinity_mgl": "alkalinity {} mg/L CaCO3",
    "sodium_mgl": "sodium {} mg/L",
    "sulphate_mgl": "sulphate {} mg/L",
    "chlorine_mgl": "chlorine {} mg/L",
    "ph": "pH {}",
}


def known_line(water: Water) -> str:
    """What is known of it, in one line."""
    known = ["nothing known" if water.source is None else water.source.value]
    if water.source in PRIVATE_SOURCES:
        known.append("tested" if water.tested else "untested")
    for key, words in _NOUNS.items():
        value = getattr(water, key)
        if value is not None:
            known.append(words.format(f"{value:.4g}"))
    return ", ".join(known[1:] if water.source is None and len(known) > 1 else known)


def _rounded(data: dict[str, Any]) -> dict[str, Any]:
    return {
        key: round(value, 3) if isinstance(value, float) else value for key, value in data.items()
    }


def _item_table(items: tuple[ItemVerdict, ...]) -> list[str]:
    rows = [("item", "reads", "target", "stands")]
    for item in items:
        reads = "?"
        if item.value is not None:
            most = "at most " if item.at_most else ""
            reads = f"{most}{item.value:.4g} {item.target.unit}".rstrip()
        stands = item.standing.value
        rows.append(
            (
                item.target.noun,
                reads,
                item.target.printed,
                stands.upper() if item.standing is ItemStanding.OUT else stands,
            )
        )
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


_OPEN = (
    "closed: a boiler, or water just heated; open: a kettle left hot, once its carbon dioxide is "
    "gone, which is the most it comes to"
)
_UNKNOWN_IONS = (
    "magnesium or sulphate is not known: where there is much of either, the index reads too high, "
    "by up to 0.3"
)


def _scaling_lines(water: Water, tendencies: tuple[Scaling, ...]) -> list[str]:
    if not tendencies:
        return ["scale: unknown; pH, hardness and alkalinity are needed"]
    lines = []
    for one in tendencies:
        least = f"{one.least_index:+.2f} to " if one.at_most else ""
        lines.append(
            f"scale at {one.temperature_c:g} °C, {one.vessel.value}: index {least}"
            f"{one.saturation_index:+.2f}, Ryznar {one.ryznar_index:.1f}, Puckorius "
            f"{one.puckorius_index:.1f}: {one.says}"
        )
    if any(one.at_most for one in tendencies):
        lines += _wrapped("from half to all of the hardness taken as calcium, which is not known")
    if water.sulphate_mgl is None or water.total_hardness_mgl is None:
        lines += _wrapped(_UNKNOWN_IONS)
    lines += [*_wrapped(_OPEN), *_wrapped(MACHINE)]
    return lines


def _scaling_reasons(water: Water, tendencies: tuple[Scaling, ...]) -> list[str]:
    lines = []
    for one in tendencies:
        lines += ["", *one.working.lines()]
        calcium = water.total_hardness_mgl if one.at_most else water.calcium_hardness_mgl
        if one.vessel is Vessel.OPEN:
            continue
        if water.ph and water.tds_mgl and calcium and water.alkalinity_mgl:
            short = water.ph - short_form_saturation_ph(
                water.tds_mgl, one.temperature_c, calcium, water.alkalinity_mgl
            )
            lines.append(
                f"  the short form on many pages would say {short:+.2f}: in the mean it is 0.1 too "
                "low when cold, and 0.6 too high when hot, as it holds the pH"
            )
    return lines


def _wrapped(text: str) -> list[str]:
    return wrap(text, WIDTH, initial_indent="- ", subsequent_indent="  ")
