"""Checkpoints of the tracker to return to when readings that were believed turn out to be a
touch."""

from collections import deque
from typing import NamedTuple, TypeAlias

from pourcoach.domain.units import Seconds
from pourcoach.estimation.filter.filter_state import FilterState
from pourcoach.estimation.platform.repeats import Weighed
from pourcoach.estimation.pours.log_state import LogState

# How far back the tracker goes where readings that were believed turn out to have been a touch.
LOOK_BACK_TICKS = 500
# And how soon it may do so again.
LOOK_AGAIN_TICKS = 1000


class Checkpoint(NamedTuple):
    """The state that is restored."""

    t_s: Seconds
    state: FilterState
    log: LogState


Readings: TypeAlias = tuple[Checkpoint, list[Weighed]]
"""A checkpoint and the readings since."""


class LookBack:
    """Keeps two checkpoints and the readings since the older one."""

    __slots__ = ("_checkpoints", "_looked_ticks", "_readings", "due_ticks")

    def __init__(self) -> None:
        self._checkpoints: deque[Checkpoint] = deque(maxlen=2)
        self._readings: deque[Weighed] = deque()
        self._looked_ticks = -LOOK_AGAIN_TICKS
        self.due_ticks = 0
        """When the next checkpoint is due, in milliseconds."""

    def take(self, weighed: Weighed) -> None:
        """Keep the next reading, believed or not."""
        self._readings.append(weighed)

    @property
    def older_ticks(self) -> int:
        """Milliseconds at the older checkpoint; nothing before it is looked at again."""
        return self._checkpoints[0].state.ticks

    def check(self, checkpoint: Checkpoint) -> None:
        """Keep the present state."""
        self._checkpoints.append(checkpoint)
        self.due_ticks = checkpoint.state.ticks + LOOK_BACK_TICKS
        oldest_ticks = self._checkpoints[0].state.ticks
        while self._readings and self._readings[0].ticks <= oldest_ticks:
            self._readings.popleft()

    def restart(self, checkpoint: Checkpoint) -> None:
        """Forget all that is older than this checkpoint, since it is settled."""
        self._readings.clear()
        self._checkpoints.clear()
        self.check(checkpoint)

    def go_back(self, ticks: int) -> Readings | None:
        """Return the older checkpoint and the readings since, to look at again; None too soon after
        the last time."""
        if ticks - self._looked_ticks < LOOK_AGAIN_TICKS:
            return None
        self._looked_ticks = ticks
        return self.older()

    def rested_before(self, state: FilterState) -> bool:
        """Whether the weight rested at the older checkpoint, and water has begun since."""
        return self._checkpoints[0].state.pour_probability < 0.5 < state.pour_probability

    def older(self) -> Readings:
        """Return the older checkpoint and the readings since."""
        checkpoint = self._checkpoints[0]
        return checkpoint, [one for one in self._readings if one.ticks > checkpoint.state.ticks]
