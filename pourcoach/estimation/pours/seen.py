"""What hindsight goes by beside the record of the weight."""

from dataclasses import dataclass, field

from pourcoach.domain.fall import USUAL_FALL, Fall
from pourcoach.estimation.stamps.arrivals import ArrivalLog


@dataclass(frozen=True, slots=True)
class Seen:
    """How long water falls, and when each reading arrived."""

    fall: Fall = USUAL_FALL
    arrivals: ArrivalLog = field(default_factory=ArrivalLog)
