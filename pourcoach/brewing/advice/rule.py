"""One row of the table for dialling in."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from pourcoach.brewing.advice.evidence import Signals
from pourcoach.brewing.advice.move import Move


class AdviceStep(Enum):
    """What kind of thing to do next."""

    POUR = "mend the pour first"
    WATER = "look at the water first"
    MEASURE = "taste or measure first"
    REPEAT = "repeat, changing one thing"
    CHANGE = "change one thing"
    BACK = "take the last change back"
    KEEP = "keep it as it is"
    SETTLED = "stop here"


@dataclass(frozen=True, slots=True)
class Rule:
    """One row of the table."""

    name: str
    when: Callable[[Signals], bool]
    step: AdviceStep
    levers: tuple[Move, ...]
    """With CHANGE: the moves that may mend it, the first that earlier brews leave open being
    made. Empty with any other step."""
    why: str
    source: str
