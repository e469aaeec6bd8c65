"""What to weigh out for a water, as figures and as lines of text."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pourcoach.brewing.water.additive import MOST_ADDED_G_PER_L, SALTS, Additive, other_forms
from pourcoach.domain.units import Grams

if TYPE_CHECKING:
    from pourcoach.brewing.water.dosing import Dose  # numpy

_SALT_CAUTION = (
    "Use food-grade salts only, weigh small amounts as a concentrate, and mark the bottle."
)


def dose_figures(dose: Dose) -> dict[str, Any]:
    """The figures of ``--json``."""
    return {
        "litres": dose.litres,
        "makes_litres": round(dose.makes_litres, 5),
        "at_their_most": [one.name for one in dose.at_their_most],
        "grams": {one.name: round(grams, 5) for one, grams in dose.grams},
        "misses_mgl": {item: round(off, 3) for item, off in dose.misses_mgl.items()},
    }


def dose_lines(dose: Dose, water: str, *, why: bool) -> list[str]:
    """What to weigh, of which salt, and what is missed; ``water`` is the name of the water."""
    lines = [f"to {dose.litres:g} L of {water}:"]
    for one, grams in dose.grams:
        lines.append(f"{grams:9.3f} g  {_large(one)}")
        lines += _crystal_water_note(one, grams)
    if dose.makes_litres - dose.litres > 0.0005 * dose.litres:
        lines.append(f"makes {dose.makes_litres:.3f} L: the water of the concentrates counts")
    for one in dose.at_their_most:
        lines.append(
            f"{one.name}: no more than {MOST_ADDED_G_PER_L:g} g to a litre is added, and the aim "
            "asks for more; mix it stronger"
        )
    for item, off in dose.misses_mgl.items():
        if abs(off) >= 1.0:
            noun = item.removesuffix("_mgl").replace("_", " ")
            lines.append(f"{noun}: {off:+.0f} mg/L off its aim")
    lines.append(_SALT_CAUTION)
    if why:
        lines.append("least squares with bounds (Stark & Parker 1995) on molar masses (IUPAC)")
    return lines


def _large(one: Additive) -> str:
    """Which salt is meant, so that it is not overlooked: its form decides the amount."""
    name, at, strength = one.name.partition(" at ")
    return f"{name.replace('-', ' ').upper()}{at}{strength}  {one.formula}"


def _crystal_water_note(one: Additive, grams: Grams) -> list[str]:
    """What to weigh of the salt's other forms in place of it."""
    name, _, concentrate = one.name.partition(" at ")
    salt = SALTS[name]
    # Of a concentrate, the strength changes and not the mass.
    mass, unit = (float(concentrate.split()[0]), "g/kg") if concentrate else (grams, "g")
    others = [
        f"{mass * salt.tds_mgl / other.tds_mgl:.4g} {unit} of {other.formula}"
        for other in other_forms(salt)
    ]
    lines = [f"{'':13}look at the label: the same as {' or '.join(others)}"] if others else []
    if "anhydrous" in name:
        lines.append(
            f"{'':13}it heats up as it dissolves: stir it into cold water, little by little"
        )
    return lines
