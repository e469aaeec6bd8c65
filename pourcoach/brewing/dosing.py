"""How much of which salt or concentrate brings a water to its aim."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pourcoach.brewing.additive import Additive
from pourcoach.brewing.bounded_least_squares import solve_bounded
from pourcoach.brewing.water import Water
from pourcoach.brewing.water_aims import AIMS, amount_of, refuse_aims, scales_of
from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams

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
    refuse_aims(aims)
    if not additives:
        raise UsageError("there is nothing to add", "give at least one salt")
    if not 0.0 < litres <= _MOST_LITRES:
        raise UsageError(f"{litres:g} litres cannot be dosed", "use up to 1000 litres")
    scales = scales_of(aims)
    matrix = [[_brings(one, item) / scales[item] for one in additives] for item in aims]
    wanted = [(aims[item] - amount_of(water, item)) / scales[item] for item in aims]
    upper = [_most_g_per_l(one) for one in additives]
    grams_per_l = solve_bounded(matrix, wanted, upper)
    parts = list(zip(additives, grams_per_l, strict=True))
    result = _dosed(water, parts)
    return Dose(
        litres=litres,
        grams=tuple((one, grams * litres) for one, grams in parts),
        result=result,
        misses_mgl={item: amount_of(result, item) - aim for item, aim in aims.items()},
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


def _most_g_per_l(one: Additive) -> Grams:
    return min(_MOST_SALT_G_PER_L * 1000.0 / one.tds_mgl, _MOST_ADDED_G_PER_L)
