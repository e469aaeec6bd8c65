"""What is wanted of a pour plan, as it is asked for."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, Self

from pourcoach.brewing.plan.bloom import Roast
from pourcoach.brewing.plan.brewer import DEFAULT_BREWER
from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.plan import Then
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
        """Read fields by name; raises UsageError as ``from_table``, and for an unknown key."""
        table = CheckedTable("the plan", data)
        request = cls.from_table(table)
        table.done()
        return request

    @classmethod
    def from_table(cls, table: CheckedTable) -> Self:
        """Read fields by name, as they stand in a file; ``roast`` and ``bloom_then`` by their
        words.

        Raises UsageError for a wrong type or an unknown word.
        """
        values: dict[str, Any] = {}
        for key in (field.name for field in fields(cls)):
            if key not in table:
                continue
            match key:
                case "brewer":
                    values[key] = table.text(key)
                case "roast":
                    values[key] = table.member(key, Roast)
                case "bloom_then":
                    values[key] = table.member(key, Then)
                case _:
                    values[key] = table.number(key, least=-math.inf)
        pours = values.get("pours")
        if pours is not None:
            if not pours.is_integer():
                raise table.wrong("pours", f"is {pours:g}", "make it a whole number")
            values["pours"] = int(pours)
        return cls(**values)
