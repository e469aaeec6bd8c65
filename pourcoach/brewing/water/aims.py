"""What a water can be brought to by mixing or dosing, and how its aims are weighed."""

from collections.abc import Mapping

from pourcoach.brewing.water.water import Water
from pourcoach.domain.errors import UsageError

AIMS = ("calcium_hardness_mgl", "magnesium_hardness_mgl", "hardness_mgl", "alkalinity_mgl",
        "sodium_mgl")  # fmt: skip
# An aim of nearly nothing is met to this, not to a share of itself.
_LEAST_SCALE_MGL = 10.0


def scales_of(aims: Mapping[str, float]) -> dict[str, float]:
    """What a miss of each aim is measured against: its own size."""
    return {item: max(aim, _LEAST_SCALE_MGL) for item, aim in aims.items()}


def amount_of(water: Water, item: str) -> float:
    """A conserved field in mg/L. Raises UsageError where it is unknown."""
    value = water.total_hardness_mgl if item == "hardness_mgl" else getattr(water, item)
    if value is None:
        raise UsageError(
            f"the water's {item.removesuffix('_mgl').replace('_', ' ')} is unknown",
            "measure it, or leave that aim out",
        )
    return float(value)


def refuse_aims(aims: Mapping[str, float]) -> None:
    """Raise UsageError for no aims, an unknown one, or one that cannot be."""
    if not aims:
        raise UsageError("there is nothing to solve", "give at least one aim")
    for item, aim in aims.items():
        if item not in AIMS:
            raise UsageError(f"{item!r} is no aim", "known ones are " + ", ".join(AIMS))
        if not 0.0 <= aim < 5000.0:
            raise UsageError(f"an aim of {aim:g} mg/L cannot be", "aim at 0 to 5000 mg/L")
