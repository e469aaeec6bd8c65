"""The state of the list of pours, as one value."""

from typing import NamedTuple

from pourcoach.domain.pour import Pour
from pourcoach.estimation.pours.hidden import Hidden
from pourcoach.estimation.pours.let_go import Fallen
from pourcoach.estimation.pours.refining import Rest
from pourcoach.estimation.pours.start_watch import StartState


class LogState(NamedTuple):
    """The state of a log, to be restored."""

    finished: tuple[Pour, ...]
    open: Pour | None
    confirmed: bool
    waiting: bool
    rest_before: Rest | None
    hidden: Hidden | None
    fallen: Fallen | None
    start: StartState
