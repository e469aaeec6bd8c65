"""What is known of each station of a room, and how old it is."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Protocol

from pourcoach.domain.frame import Frame
from pourcoach.domain.units import Grams, Seconds
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.tile import Tile

OLD_S: Seconds = 2.0
"""A tile comes several times a second; one that is older says nothing of now."""


class TileAge(Enum):
    """How far a tile can be relied on, by its age and the station's state."""

    WAITING = "waiting"
    """Nothing has come yet."""
    LIVE = "live"
    OLD = "old"
    """Older than OLD_S."""
    GONE = "gone"
    """The station has ended, or its connection has."""


@dataclass(frozen=True, slots=True)
class SeenStation:
    """One station as a wall shows it."""

    name: str
    standing: TileAge
    tile: Tile | None = None
    """The newest; None before the first."""
    age_s: Seconds | None = None
    """Since it came; None where that is not known."""
    trouble: str | None = None
    """What is wrong with the station itself, in a sentence."""
    plan_line: tuple[tuple[Seconds, Grams], ...] = ()
    """Corners of the target curve, from the first water on; empty without a plan, and for stations
    of other machines."""
    pitch: bool = True
    """Whether a pitch may say how far off the pour is: not in training, which is to do without."""


def plan_line(frame: Frame | None) -> tuple[tuple[Seconds, Grams], ...]:
    """The plan in force as corners of a line; empty where there is none."""
    plan = None if frame is None else frame.pour.plan
    if plan is None:
        return ()
    end_s = max(plan.finish_s, plan.stage_end_s(len(plan.stages) - 1))
    return tuple((round(t_s, 1), round(mass_g, 1)) for t_s, mass_g in plan.corners(end_s))


class Board(Protocol):
    """Whatever wall and page look at: this machine's stations, one brew, or a room's."""

    def seen(self) -> Sequence[SeenStation]:
        """All stations, in the order they are shown. Cheap, and may be called from any thread."""
        ...

    @property
    def notice(self) -> str | None:
        """What is wrong with all of it, such as a broker that is gone; None if nothing."""
        ...


class CurveBoard(Board, Protocol):
    """A Board that can show one of its stations whole."""

    def curve(self, name: str) -> StationCurve | None:
        """What was poured there in the brew that is seen; None where there is no such station."""
        ...
