"""The one value that goes to screen, text and analysis."""

from typing import NamedTuple

from pourcoach.domain.advice import Cue, Flag, Risk
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.key_press import KeyPress
from pourcoach.domain.pour import Phase, PourState
from pourcoach.domain.units import Grams, Seconds


class Frame(NamedTuple):
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
    """This brewer's lead as learnt up to now, for the next brew to start with; None if unseen."""
    moments: tuple[KeyPress, ...] = ()
    """The brewer's marks and notes so far, less those taken back, oldest first."""
    key_press: KeyPress | None = None
    """The newest press of any key; None before the first."""

    @property
    def weight_g(self) -> Grams:
        """What the brewer goes by: before the brew what stands on the scale, then the water, which
        neither a tare nor a brewer that is lifted takes along.
        """
        return self.estimate.mass_g if self.pour.phase is Phase.READY else self.pour.water_g
