"""How much of which salt or concentrate brings a water to its aim."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pourcoach.brewing.additive import Additive
from pourcoach.brewing.bounded_least_squares import solve_bounded
from pourcoach.brewing.water import Water
from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams

AIMS = ("calcium_hardness_mgl", "magnesium_hardness_mgl", "hardness_mgl", "alkalinity_mgl",
        "sodium_mgl")  # fmt: skip
# An aim of nearly nothing is met to this, not to a share of itself.
_LEAST_SCALE_MGL = 10.0
# Ten grams to a litre is far past any drinking water.
_MOST_SALT_G_PER_L = 10.0
# More of a concentrate would dilute the water by more than the 5 % that is left out here.
_MOST_ADDED_G_PER_L = 50.0
_MOST_LITRES = 1000.0


@dataclass(frozen=True, slots=True)
class Dose:
    """What to weigh out, and what it makes."""

    litres: float
    grams: tuple[tuple[Additive, Grams], ...]
    """For all the litres; an additive that does not help has 0."""
    result: Water
    """The dosed water: its pH is unknown, for that moves with what was added."""
    misses_mgl: Mapping[str, float]
    """Result less aim, for each aim."""


def dose_towards(
    water: Water, aims: Mapping[str, float], additives: Sequence[Additive], litres: float
) -> Dose:
    """The amounts that come nearest to all aims together, each weighed by its own size.

    Nothing can be taken out: an aim below what the water has stays missed. That a concentrate
    dilutes, by 5 % at the very most, is left out. Raises UsageError where an aim is unknown, is
    not known of the water, or nothing is there to add.
    """
    _refuse_impossible(water, aims, additives, litres)
    scales = {item: max(aim, _LEAST_SCALE_MGL) for item, aim in aims.items()}
    matrix = [[_brings(one, item) / scales[item] for one in additives] for item in aims]
    wanted = [(aims[item] - _has(water, item)) / scales[item] for item in aims]
    upper = [_most_g_per_l(one) for one in additives]
    grams_per_l = solve_bounded(matrix, wanted, upper)
    parts = list(zip(additives, grams_per_l, strict=True))
    result = _dosed(water, parts)
    return Dose(
        litres=litres,
        grams=tuple((one, grams * litres) for one, grams in parts),
        result=result,
        misses_mgl={item: _has(result, item) - aim for item, aim in aims.items()},
    )


def _dosed(water: Water, parts: Sequence[tuple[Additive, float]]) -> Water:
    changes: dict[str, float | None] = {"ph": None}
    for field in (*AIMS, "tds_mgl"):
        before = getattr(water, field)
        if before is not None:
            changes[field] = before + sum(_brings(one, field) * grams for one, grams in parts)
    return replace(water, **changes)  # type: ignore[arg-type]


def _brings(one: Additive, item: str) -> float:
    if item == "hardness_mgl":
        return one.calcium_hardness_mgl + one.magnesium_hardness_mgl
    value: float = getattr(one, item)
    return value


def _has(water: Water, item: str) -> float:
    value = water.total_hardness_mgl if item == "hardness_mgl" else getattr(water, item)
    if value is None:
        raise UsageError(
            f"the water's {item.removesuffix('_mgl').replace('_', ' ')} is unknown",
            "measure it, or leave that aim out",
        )
    return float(value)


def _most_g_per_l(one: Additive) -> Grams:
    return min(_MOST_SALT_G_PER_L * 1000.0 / one.tds_mgl, _MOST_ADDED_G_PER_L)


def _refuse_impossible(
    water: Water, aims: Mapping[str, float], additives: Sequence[Additive], litres: float
) -> None:
    if not aims or not additives:
        raise UsageError("there is nothing to solve", "give at least one aim and one salt")
    for item, aim in aims.items():
        if item not in AIMS:
            raise UsageError(f"{item!r} is no aim", "known ones are " + ", ".join(AIMS))
        if not 0.0 <= aim < 5000.0:
            raise UsageError(f"an aim of {aim:g} mg/L cannot be", "aim at 0 to 5000 mg/L")
        _has(water, item)
    if not 0.0 < litres <= _MOST_LITRES:
        raise UsageError(f"{litres:g} litres cannot be dosed", "use up to 1000 litres")
