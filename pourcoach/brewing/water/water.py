"""A brew water as far as it is known, and what mixing waters gives."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any, Self

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError


class WaterSource(Enum):
    """Where a water comes from."""

    MAINS = "mains"
    BOTTLED = "bottled"
    DEMINERALISED = "demineralised"
    WELL = "well"
    ROOF = "roof"
    """Rain collected from a roof or any other open surface."""
    SURFACE = "surface"
    """A spring, stream or lake."""


LEAST_CALCIUM_SHARE = 0.5
"""Of the total hardness, at least this is calcium in most natural waters (common practice)."""
PRIVATE_SOURCES = frozenset({WaterSource.WELL, WaterSource.ROOF, WaterSource.SURFACE})
"""Nobody but the user answers for these."""


@dataclass(frozen=True, slots=True)
class Water:
    """What is known of a water; None is unknown. Masses in mg/L."""

    source: WaterSource | None = None
    tested: bool = False
    """Whether a laboratory has found it fit to drink lately. Asked of private sources."""
    ph: float | None = None
    tds_mgl: float | None = None
    """Dissolved solids."""
    hardness_mgl: float | None = None
    """Total, as CaCO3."""
    calcium_hardness_mgl: float | None = None
    """As CaCO3."""
    magnesium_hardness_mgl: float | None = None
    """As CaCO3."""
    alkalinity_mgl: float | None = None
    """Total, as CaCO3."""
    sodium_mgl: float | None = None
    sulphate_mgl: float | None = None
    chlorine_mgl: float | None = None
    """Total chlorine, free and bound."""

    def __post_init__(self) -> None:
        if self.ph is not None and not 3.0 <= self.ph <= 11.0:
            raise UsageError(f"pH {self.ph:g} is no brew water", "give a pH of 3 to 11")
        for name in CONSERVED:
            value = getattr(self, name)
            if value is not None and not 0.0 <= value < 100_000.0:
                raise UsageError(f"{name} of {value:g} cannot be", "give 0 mg/L or more")
        parts = (self.calcium_hardness_mgl or 0.0) + (self.magnesium_hardness_mgl or 0.0)
        # Two kits may disagree by a tenth; more than that is a wrong unit.
        if self.hardness_mgl is not None and parts > self.hardness_mgl * 1.1 + 1.0:
            raise UsageError(
                f"calcium and magnesium make {parts:.0f} mg/L as CaCO3, more than the "
                f"total hardness of {self.hardness_mgl:.0f}",
                "look at their units: as CaCO3, or as the ion ('mg/L Ca')",
            )

    @property
    def total_hardness_mgl(self) -> float | None:
        """As given, else the sum of calcium and magnesium where both are known."""
        if self.hardness_mgl is not None:
            return self.hardness_mgl
        if self.calcium_hardness_mgl is None or self.magnesium_hardness_mgl is None:
            return None
        return self.calcium_hardness_mgl + self.magnesium_hardness_mgl

    @property
    def untested_private(self) -> bool:
        """From a private source that no laboratory has found fit to drink."""
        return self.source in PRIVATE_SOURCES and not self.tested

    def different_from(self, other: "Water") -> list[str]:
        """What both are known by and differ in, in words."""
        return [
            name.removesuffix("_mgl").replace("_", " ")
            for name in ("source", "ph", *CONSERVED)
            if None not in (mine := getattr(self, name), theirs := getattr(other, name))
            and mine != theirs
        ]

    def with_added(self, other: "Water") -> "Water":
        """What is known of ``other``, and of this where that says nothing."""
        return Water.from_dict(self.as_dict() | other.as_dict())

    def as_dict(self) -> dict[str, Any]:
        """What is known, keys as the fields; ``from_dict`` reads it back to an equal water."""
        data: dict[str, Any] = {}
        if self.source is not None:
            data["source"] = self.source.value
        if self.tested:
            data["tested"] = True
        for name in ("ph", *CONSERVED):
            value = getattr(self, name)
            if value is not None:
                data[name] = value
        return data

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """Read a water from a table of its own; see ``from_table``."""
        return cls.from_table(CheckedTable("the water", data))

    @classmethod
    def from_table(cls, table: CheckedTable) -> Self:
        """Raises UsageError for an unknown key or a value of a wrong kind."""
        numbers = {
            key: table.number(key, least=-math.inf) for key in ("ph", *CONSERVED) if key in table
        }
        source = table.member("source", WaterSource) if "source" in table else None
        water = cls(source, table.flag("tested", usual=False), **numbers)
        table.done()
        return water


CONSERVED = (
    "tds_mgl",
    "hardness_mgl",
    "calcium_hardness_mgl",
    "magnesium_hardness_mgl",
    "alkalinity_mgl",
    "sodium_mgl",
    "sulphate_mgl",
    "chlorine_mgl",
)
"""The fields that mixing only spreads: all but pH."""

# What a still or a good membrane with resin leaves; its pH means nothing, as it takes up carbon
# dioxide from the air at once.
DEMINERALISED = Water(
    source=WaterSource.DEMINERALISED,
    tds_mgl=0.0,
    hardness_mgl=0.0,
    calcium_hardness_mgl=0.0,
    magnesium_hardness_mgl=0.0,
    alkalinity_mgl=0.0,
    sodium_mgl=0.0,
    sulphate_mgl=0.0,
    chlorine_mgl=0.0,
)


def blend(parts: Sequence[tuple[Water, float]]) -> Water:
    """Waters mixed by mass, each with its share (any positive scale).

    Ions, hardness and alkalinity mix in proportion, exactly. pH does not, so it is unknown
    afterwards. What any part leaves unknown is unknown. A blend is private and untested as soon
    as one part is.
    """
    total = sum(share for _, share in parts)
    if not parts or not all(share >= 0 for _, share in parts) or not 0 < total < float("inf"):
        raise UsageError("these shares make no blend", "give each water a share above 0")
    mixed: dict[str, float | None] = {}
    for name in CONSERVED:
        field = "total_hardness_mgl" if name == "hardness_mgl" else name
        found = [getattr(water, field) for water, _ in parts]
        mixed[name] = (
            None
            if any(value is None for value in found)
            else sum(v * share for v, (_, share) in zip(found, parts, strict=True)) / total
        )
    source = _riskiest(parts)
    untested = any(water.untested_private for water, share in parts if share > 0)
    return Water(source=source, tested=source in PRIVATE_SOURCES and not untested, **mixed)


def _riskiest(parts: Sequence[tuple[Water, float]]) -> WaterSource | None:
    for water, share in parts:
        if share > 0 and water.untested_private:
            return water.source
    for water, share in parts:
        if share > 0 and water.source in PRIVATE_SOURCES:
            return water.source
    sources = {water.source for water, share in parts if share > 0}
    sources -= {WaterSource.DEMINERALISED} if len(sources) > 1 else set()
    return sources.pop() if len(sources) == 1 else None


def share_to_reach(item: str, value: float, aim: float) -> float:
    """Share of a water in demineralised water that brings ``value`` down to ``aim``: aim / value.

    Raises UsageError where the water already lies at or below the aim.
    """
    if not 0.0 < aim < value:
        raise UsageError(
            f"{item} of {value:.0f} mg/L cannot be diluted to {aim:.0f} mg/L",
            "aim below what the water has, and above 0",
        )
    return aim / value
