"""A pour plan, resolved: it needs nothing else to be followed or judged."""

from collections import Counter
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import Any, Self

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.printable import printable
from pourcoach.domain.units import Celsius, Grams, GramsPerSecond, Seconds

# Far beyond what a hand pours, in grams, seconds or anything else; a number above it is a slip.
LARGEST = 1e6
# A brew of an hour with a pour in each half minute.
MOST_STAGES = 120
EXTRA_POUR = "extra pour"
"""What water beyond the last stage is called; no stage of a plan has this name."""


class Arrangement(Enum):
    """What stands on the scale."""

    BREWER_ON_SCALE = "brewer-on-scale"
    """Brewer and server together: the weight is the water poured."""
    SERVER_ON_SCALE = "server-on-scale"
    """The server alone, the brewer held over it: the weight is what has dripped out."""


class Then(Enum):
    """What is done by hand once a stage is poured. It touches the scale, and is no fault."""

    SWIRL = "swirl"
    STIR = "stir"
    TAP = "tap"
    LIFT_OFF = "lift off"


@dataclass(frozen=True, slots=True)
class Stage:
    """One pour of the plan."""

    name: str
    start_s: Seconds
    """Since the first water."""
    to_g: Grams
    """Total on the scale when the stage ends."""
    flow_gps: GramsPerSecond
    then: Then | None = None
    """Done in the wait that follows."""


@dataclass(frozen=True, slots=True)
class Plan:
    """Stages in order of time, with rising marks.

    Stages of one name are numbered, "pour (1)" and "pour (2)", and so is one called EXTRA_POUR, so
    that each name means one stage wherever a flag or a mark gives it.
    """

    dose_g: Grams
    ratio: float
    """Water mass over dose."""
    water_g: Grams
    bloom_s: Seconds
    """From the first water to the next pour."""
    finish_s: Seconds
    """When the bed should have drained, since the first water."""
    stages: tuple[Stage, ...]
    temperature_c: Celsius | None = None
    brewer: str | None = None
    """One of the general kinds, "small-cone" and so on; None where not given."""
    ice_g: Grams = 0.0
    """Ice in the server, beside ``water_g``; it ends up in the cup."""
    bypass_g: Grams = 0.0
    """Water added to the cup after the brew, beside ``water_g``."""
    limits: FlagLimits = field(default_factory=FlagLimits)

    def __post_init__(self) -> None:
        if not self.stages:
            raise UsageError("a plan needs at least one stage", "give it a bloom or a pour")
        for name, value in (
            ("dose_g", self.dose_g),
            ("ratio", self.ratio),
            ("water_g", self.water_g),
        ):
            if not value > 0:
                raise UsageError(f"the plan's {name} is {value:g}", "make it a number above 0")
        object.__setattr__(self, "stages", _distinguished(self.stages))
        start_s, to_g = -1.0, 0.0
        for stage in self.stages:
            if stage.start_s <= start_s or stage.to_g <= to_g:
                raise UsageError(
                    f"stage {stage.name!r} does not come after the one before it in time and mass",
                    "let start_s and to_g rise from stage to stage",
                )
            if not stage.flow_gps > 0:
                raise UsageError(
                    f"stage {stage.name!r} has a flow of {stage.flow_gps:g} g/s",
                    "give it a flow above 0",
                )
            start_s, to_g = stage.start_s, stage.to_g

    @property
    def added_g(self) -> Grams:
        """What the cup gets that did not run through the coffee."""
        return self.ice_g + self.bypass_g

    @property
    def cup_ratio(self) -> float:
        """All the water, ice and bypass too, over dose: what the strength of the cup goes by."""
        return (self.water_g + self.added_g) / self.dose_g

    def stage_from_g(self, index: int) -> Grams:
        """Total on the scale when stage ``index`` begins."""
        return self.stages[index - 1].to_g if index else 0.0

    def stage_end_s(self, index: int) -> Seconds:
        """Brew time when stage ``index`` reaches its mark at its own flow."""
        stage = self.stages[index]
        return stage.start_s + (stage.to_g - self.stage_from_g(index)) / stage.flow_gps

    def target_g(self, brew_s: Seconds) -> Grams:
        """The target curve: rises from the stage before at the stage's flow, then waits."""
        for index in range(len(self.stages) - 1, -1, -1):
            stage = self.stages[index]
            if brew_s >= stage.start_s:
                risen_g = stage.flow_gps * (brew_s - stage.start_s)
                return min(stage.to_g, self.stage_from_g(index) + risen_g)
        return 0.0

    def corners(self, until_s: Seconds) -> list[tuple[Seconds, Grams]]:
        """Where the target curve bends, from 0 to ``until_s``: it is straight in between."""
        times = {0.0, until_s} | {stage.start_s for stage in self.stages}
        times |= {self.stage_end_s(index) for index in range(len(self.stages))}
        return [(t_s, self.target_g(t_s)) for t_s in sorted(times) if t_s <= until_s]

    def is_cut_short(self, water_g: Grams) -> bool:
        """Whether a brew of so much water ended before its plan: further below than it may land."""
        limits = self.limits
        allowed_g = max(limits.landing_g, limits.landing_share * self.water_g)
        return water_g < self.water_g - allowed_g

    def as_dict(self) -> dict[str, Any]:
        """The tape's form (JSON). ``from_dict`` reads it back to an equal plan."""
        data: dict[str, Any] = {
            "dose_g": self.dose_g,
            "ratio": self.ratio,
            "water_g": self.water_g,
            "bloom_s": self.bloom_s,
            "finish_s": self.finish_s,
            "stages": [_as_dict(stage) for stage in self.stages],
        }
        if self.temperature_c is not None:
            data["temperature_c"] = self.temperature_c
        if self.brewer is not None:
            data["brewer"] = self.brewer
        if self.ice_g:
            data["ice_g"] = self.ice_g
        if self.bypass_g:
            data["bypass_g"] = self.bypass_g
        if limits := self.limits.changed():
            data["limits"] = limits
        return data

    @classmethod
    def from_dict(cls, data: object) -> Self:
        """Read a plan from a table of its own; see ``from_table``."""
        return cls.from_table(CheckedTable("the plan", data))

    @classmethod
    def from_table(cls, table: CheckedTable) -> Self:
        """Read the tape's form; unknown keys are passed over.

        Raises UsageError naming the key that is missing or of a wrong kind.
        """
        return cls(
            dose_g=_number(table, "dose_g"),
            ratio=_number(table, "ratio"),
            water_g=_number(table, "water_g"),
            bloom_s=_number(table, "bloom_s"),
            finish_s=_number(table, "finish_s"),
            stages=tuple(
                Stage(
                    name=printable(stage.text("name", f"pour {index}")),
                    start_s=_number(stage, "start_s"),
                    to_g=_number(stage, "to_g"),
                    flow_gps=_number(stage, "flow_gps"),
                    then=stage.member("then", Then) if "then" in stage else None,
                )
                for index, stage in enumerate(table.tables("stages", MOST_STAGES))
            ),
            temperature_c=_number(table, "temperature_c") if "temperature_c" in table else None,
            brewer=printable(table.text("brewer")) if "brewer" in table else None,
            ice_g=_number(table, "ice_g", 0.0),
            bypass_g=_number(table, "bypass_g", 0.0),
            limits=FlagLimits.from_table(table.table("limits", optional=True)),
        )


def _as_dict(stage: Stage) -> dict[str, Any]:
    data: dict[str, Any] = {
        "name": stage.name,
        "start_s": stage.start_s,
        "to_g": stage.to_g,
        "flow_gps": stage.flow_gps,
    }
    if stage.then is not None:
        data["then"] = stage.then.value
    return data


def _distinguished(stages: tuple[Stage, ...]) -> tuple[Stage, ...]:
    """The stages with a number after each name that stands more than once, or is taken."""
    counts = Counter((EXTRA_POUR, *(stage.name for stage in stages)))
    if len(counts) == len(stages) + 1:
        return stages
    seen: Counter[str] = Counter()
    named: list[Stage] = []
    for stage in stages:
        seen[stage.name] += 1
        number = f" ({seen[stage.name]})" if counts[stage.name] > 1 else ""
        named.append(replace(stage, name=f"{stage.name}{number}"))
    # A number may meet a name that was there already: number those, too.
    return _distinguished(tuple(named))


def _number(table: CheckedTable, key: str, usual: float | None = None) -> float:
    return table.number(key, usual, least=0.0, most=LARGEST)
