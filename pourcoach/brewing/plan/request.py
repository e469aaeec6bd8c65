"""What is wanted of a pour plan, as it is asked for."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, Self

from pourcoach.brewing.plan.bloom import Roast
from pourcoach.brewing.plan.brewer import DEFAULT_BREWER
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import number_in
from pourcoach.domain.plan import Then, then
from pourcoach.domain.units import Celsius, Grams, GramsPerSecond, Seconds

# Common practice, all of it.
DEFAULT_RATIO = 16.0
DEFAULT_BLOOM_MULTIPLE = 2.0
DEFAULT_TEMPERATURE_C = 94.0


@dataclass(frozen=True, slots=True)
class PlanRequest:
    """What is wanted. None takes the brewer's or the trade's usual value.

    Of dose, ratio and water (or cup) any two settle the third; with fewer, the usual ratio and
    then the brewer's usual dose stand in. Ratio, water and cup count ice and bypass too.
    """

    dose_g: Grams | None = None
    ratio: float | None = None
    water_g: Grams | None = None
    cup_g: Grams | None = None
    """Beverage in the cup, instead of ``water_g``: what the grounds keep is added."""
    ice_g: Grams = 0.0
    """Of the water, so much as ice in the server."""
    bypass_g: Grams = 0.0
    """Of the water, so much added to the cup after the brew."""
    bloom_multiple: float = DEFAULT_BLOOM_MULTIPLE
    """Bloom water over dose."""
    bloom_wait_s: Seconds | None = None
    """From the end of the bloom's pour to the next pour; None: by ``bloom_wait``."""
    bloom_then: Then | None = None
    """Done once the bloom is poured."""
    pours: int | None = None
    """After the bloom; None: the brewer's usual number, or as many as keep the water inside."""
    flow_gps: GramsPerSecond | None = None
    brewer: str = DEFAULT_BREWER
    temperature_c: Celsius = DEFAULT_TEMPERATURE_C
    roast: Roast | None = None
    days_off_roast: float | None = None

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """Read fields by name, as they stand in a file; ``roast`` by its word.

        Raises UsageError for an unknown key, a wrong type or an unknown roast.
        """
        known = {f.name for f in fields(cls)}
        values: dict[str, Any] = {}
        for key, value in data.items():
            if key not in known:
                raise UsageError(
                    f"unknown plan key {key!r}", "known ones are " + ", ".join(sorted(known))
                )
            if key == "brewer":
                values[key] = str(value)
            elif key == "roast":
                values[key] = _roast(value)
            elif key == "bloom_then":
                values[key] = then(value)
            else:
                values[key] = number_in(value, f"the plan's {key}")
        pours = values.get("pours")
        if pours is not None:
            if not pours.is_integer():
                raise UsageError(f"{pours:g} pours cannot be poured", "make it a whole number")
            values["pours"] = int(pours)
        return cls(**values)


def _roast(value: object) -> Roast:
    try:
        return Roast(value)
    except ValueError:
        raise UsageError(
            f"unknown roast {value!r}", "use " + ", ".join(roast.value for roast in Roast)
        ) from None
