"""How much of which salt or concentrate brings a water to its aim."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pourcoach.brewing.water.additive import MOST_ADDED_G_PER_L, Additive
from pourcoach.brewing.water.aims import amount_of, refuse_aims, scales_of
from pourcoach.brewing.water.bounded_least_squares import solve_bounded
from pourcoach.brewing.water.water import CONSERVED, Water
from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams

# Ten grams to a litre is far past any drinking water.
_MOST_SALT_G_PER_L = 10.0
_MOST_LITRES = 1000.0
_ALL_OF_IT = 0.999


@dataclass(frozen=True, slots=True)
class Dose:
    """What to weigh out, and what it makes."""

    litres: float
    grams: tuple[tuple[Additive, Grams], ...]
    """For all the litres; an additive that does not help has 0."""
    result: Water
    """The dosed water: its pH is unknown, for that moves with what was added."""
    makes_litres: float
    """With what concentrates add."""
    at_their_most: tuple[Additive, ...]
    """Those of which no more is added than 50 g to a litre, though the aims ask for more."""
    misses_mgl: Mapping[str, float]
    """Result less aim, for each aim."""


def dose_towards(
    water: Water, aims: Mapping[str, float], additives: Sequence[Additive], litres: float
) -> Dose:
    """The amounts that come nearest to all aims together, each weighed by its own size.

    Nothing can be taken out: an aim below what the water has stays missed. The water of a
    concentrate dilutes what is there, and counts. Raises UsageError where an aim is unknown, is not
    known of the water, or nothing is there to add.
    """
    refuse_aims(aims)
    if not additives:
        raise UsageError("there is nothing to add", "give at least one salt")
    if not 0.0 < litres <= _MOST_LITRES:
        raise UsageError(f"{litres:g} litres cannot be dosed", "use up to 1000 litres")
    scales = scales_of(aims)
    # An aim is met by all that is there over the whole volume: before + brought = aim × volume.
    matrix = [
        [(_brings(one, item) - aim * one.adds_ml / 1000.0) / scales[item] for one in additives]
        for item, aim in aims.items()
    ]
    wanted = [(aims[item] - amount_of(water, item)) / scales[item] for item in aims]
    upper = [_most_g_per_l(one) for one in additives]
    grams_per_l = solve_bounded(matrix, wanted, upper)
    parts = list(zip(additives, grams_per_l, strict=True))
    result = _dosed(water, parts)
    return Dose(
        litres=litres,
        grams=tuple((one, grams * litres) for one, grams in parts),
        result=result,
        makes_litres=litres * _volume(parts),
        at_their_most=tuple(
            one for one, grams in parts if one.adds_ml and grams > MOST_ADDED_G_PER_L * _ALL_OF_IT
        ),
        misses_mgl={item: amount_of(result, item) - aim for item, aim in aims.items()},
    )


def _dosed(water: Water, parts: Sequence[tuple[Additive, float]]) -> Water:
    changes: dict[str, float | None] = {"ph": None}
    for field in CONSERVED:
        before = getattr(water, field)
        if before is not None:
            brought = sum(_brings(one, field) * grams for one, grams in parts)
            changes[field] = (before + brought) / _volume(parts)
    return replace(water, **changes)  # type: ignore[arg-type]


def _volume(parts: Sequence[tuple[Additive, float]]) -> float:
    """Of a litre with what was added to it, in litres."""
    return 1.0 + sum(one.adds_ml * grams for one, grams in parts) / 1000.0


def _brings(one: Additive, item: str) -> float:
    if item == "hardness_mgl":
        return one.calcium_hardness_mgl + one.magnesium_hardness_mgl
    value: float = getattr(one, item, 0.0)
    return value


def _most_g_per_l(one: Additive) -> Grams:
    return min(_MOST_SALT_G_PER_L * 1000.0 / one.tds_mgl, MOST_ADDED_G_PER_L)
