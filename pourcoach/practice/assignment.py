"""One pour of a drill as it is set: what the tape's header says of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from random import Random
from typing import Any, Self

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import number_in
from pourcoach.domain.plan import Plan
from pourcoach.domain.printable import printable
from pourcoach.practice.drill.drill import Drill
from pourcoach.practice.drill.measure import Asked, Judged, PourMeasure
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import Part, Place

LONGEST_TASK = 400
MOST_JUDGED = 50
LARGEST_SEED = 2**63


class Mode(Enum):
    """Never mixed: what was poured with help says nothing of skill."""

    ASSIST = "assist"
    """The cup is to be served: all help is allowed."""
    TRAIN = "train"
    """The hand is to learn: help fades, and tests have none."""


@dataclass(frozen=True, slots=True)
class Assignment:
    """With the header's plan it needs nothing else to be followed or judged."""

    mode: Mode
    drill: str
    title: str
    task: str
    judged: tuple[Judged, ...]
    asks: Asked
    server_ml: float
    clock: bool
    dark: bool
    level: Level
    seed: int
    place: Place

    def as_dict(self) -> dict[str, Any]:
        """The header's form."""
        return {
            "mode": self.mode.value,
            "drill": self.drill,
            "seed": self.seed,
            "place": self.place.as_dict(),
            "level": self.level.value,
            "title": self.title,
            "task": self.task,
            "judged": [
                {"measure": each.measure.value, "pour": each.pour, "band": each.band}
                for each in self.judged
            ],
            "asks": {"measure": self.asks.measure.value, "pour": self.asks.pour},
            "server_ml": self.server_ml,
            "clock": self.clock,
            "dark": self.dark,
        }

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """Raises ValueError or UsageError for what this version cannot read."""
        place, asks, judged = (data.get(key) for key in ("place", "asks", "judged"))
        if not isinstance(place, Mapping) or not isinstance(asks, Mapping):
            raise ValueError("its practice has no place, or asks for nothing")
        if not isinstance(judged, list) or not 1 <= len(judged) <= MOST_JUDGED:
            raise ValueError("its practice judges nothing")
        seed = data.get("seed")
        if not isinstance(seed, int) or isinstance(seed, bool) or not 0 <= seed <= LARGEST_SEED:
            raise ValueError(f"its practice has the seed {seed!r:.40}")
        return cls(
            mode=Mode(data.get("mode")),
            drill=printable(str(data.get("drill", ""))),
            title=printable(str(data.get("title", ""))),
            task=printable(str(data.get("task", "")), LONGEST_TASK),
            judged=tuple(_judged(each) for each in judged),
            asks=Asked(PourMeasure(asks.get("measure")), _pour(asks)),
            server_ml=number_in(data.get("server_ml"), "server_ml", least=1.0, most=1e5),
            clock=data.get("clock") is True,
            dark=data.get("dark") is True,
            level=Level(data.get("level")),
            seed=seed,
            place=Place.from_dict(place),
        )


def assigned(drill: Drill, place: Place, *, level: Level, seed: int) -> tuple[Assignment, Plan]:
    """The pour of a drill at a place of its schedule; the marks are drawn from the seed."""
    mode = Mode.ASSIST if place.part is Part.ASSIST else Mode.TRAIN
    factors = drill.transfer_factors if place.part is Part.TRANSFER_TEST else drill.factors
    chance = Random(f"{seed} {place.part.value} {place.block} {place.pour}")
    factor = chance.choice(factors)
    assignment = Assignment(
        mode,
        drill.name,
        drill.title,
        drill.task_at(factor),
        drill.judged,
        drill.asks,
        drill.server_ml,
        drill.clock,
        drill.dark,
        level,
        seed,
        place,
    )
    return assignment, drill.plan_at(factor)


def _judged(data: object) -> Judged:
    if not isinstance(data, Mapping):
        raise ValueError(f"its practice judges {data!r:.40}")
    band = number_in(data.get("band"), "a band", least=1e-6, most=1e6)
    return Judged(PourMeasure(data.get("measure")), band, _pour(data))


def _pour(data: Mapping[str, Any]) -> int | None:
    value = data.get("pour")
    if value is None:
        return None
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= MOST_JUDGED:
        raise UsageError(f"its practice names the pour {value!r:.40}")
    return value
