"""One pour of a drill as it is set: what the tape's header says of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from random import Random
from typing import Any, Self

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.plan import Plan
from pourcoach.domain.printable import printable
from pourcoach.practice.drill.drill import Drill
from pourcoach.practice.drill.measure import Asked, Judged, PourMeasure
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import Part, Place

LONGEST_TASK = 400
"""Letters: as long as a drill's task may be, with some of its figures."""
MOST_JUDGED = 50
"""Measures of a pour, and pours that one may name: far beyond any drill, to bound what is read."""
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
    """Its name, as commands take it."""
    title: str
    task: str
    """With its figures filled in."""
    judged: tuple[Judged, ...]
    asks: Asked
    server_ml: float
    clock: bool
    """Whether the time since the first water is shown."""
    dark: bool
    """Whether the screen stays dark while the water runs."""
    level: Level
    seed: int
    """Of the schedule and of the marks drawn."""
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
        """Raises UsageError for what this version cannot read; unknown keys are passed over."""
        table = CheckedTable("the practice", data)
        asks = table.table("asks")
        return cls(
            mode=table.member("mode", Mode),
            drill=printable(table.text("drill", "")),
            title=printable(table.text("title", "")),
            task=printable(table.text("task", ""), LONGEST_TASK),
            judged=tuple(map(_judged, table.tables("judged", MOST_JUDGED))),
            asks=Asked(asks.member("measure", PourMeasure), _pour(asks)),
            server_ml=table.number("server_ml", least=1.0, most=1e5),
            clock=table.flag("clock", usual=False),
            dark=table.flag("dark", usual=False),
            level=table.member("level", Level),
            seed=table.whole("seed", 0, LARGEST_SEED),
            place=Place.from_table(table.table("place")),
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


def _judged(table: CheckedTable) -> Judged:
    band = table.number("band", least=1e-6, most=1e6)
    return Judged(table.member("measure", PourMeasure), band, _pour(table))


def _pour(table: CheckedTable) -> int | None:
    return table.whole("pour", 1, MOST_JUDGED) if "pour" in table else None
