"""The one value that goes to screen, text and analysis."""

from dataclasses import dataclass

from pourcoach.domain.advice import Cue, Flag, Risk
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.pour import PourState
from pourcoach.domain.units import Seconds


@dataclass(frozen=True, slots=True)
class Frame:
    """Everything known after one input. A screen may drop frames: flags and pours accumulate."""

    t_s: Seconds
    """The input's own time (arrival), on the tape."""
    estimate: Estimate
    pour: PourState
    cue: Cue
    flags: tuple[Flag, ...]
    """All so far, oldest first."""
    risk: Risk
    reaction_s: Seconds | None = None
    """This brewer's lead as learnt up to now, to start the next brew with; None if none was seen."""
