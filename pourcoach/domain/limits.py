"""From which size on something is flagged. A plan or a rubric may set each.

All defaults are common practice; no published source was found for any of them.
"""

import math
import sys
from dataclasses import dataclass, fields
from typing import Self

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.units import Grams, Seconds

LONGEST_RAMP_S: Seconds = 2.5
"""A scale that follows slowly stretches a pour's ramps, to this at most (common practice)."""
# Any number above 0 that is one.
_TINY, _HUGE = math.ulp(0.0), sys.float_info.max
_ABOVE_0 = "make it a number above 0"
FULL_SHARE = 0.6
"""Of a pour's usual flow: below it, next to an end of the pour, the ramp goes on."""


@dataclass(frozen=True, slots=True)
class FlagLimits:
    """One field a threshold, with its unit in its name."""

    uneven_cv: float = 0.20
    """Coefficient of variation of flow within a pour, above which it is uneven."""
    uneven_from_s: Seconds = 4.0
    """Shortest pour judged for evenness."""
    ramp_up_s: Seconds = 1.0
    """Left out at a pour's beginning when its evenness is judged."""
    ramp_down_s: Seconds = 0.6
    """Left out at its end."""
    stall_share: float = 0.25
    """Of the planned flow, below which water has all but stopped."""
    stall_s: Seconds = 1.0
    """How long it must have stopped to be a stall."""
    surge_share: float = 1.7
    """Of the pour's own median flow, above which it surges."""
    surge_s: Seconds = 0.7
    pace_share: float = 0.17
    """Mean flow of a stage off the planned one, where that also leaves the band: nearer is as near
    as a hand can be asked to hold it, and what it makes of SLOW or MORE is hardly less. With 0.10
    steady simulated hands were asked twice as often."""
    landing_g: Grams = 5.0
    """Off a stage's mark; the larger of this and ``landing_share`` counts."""
    landing_share: float = 0.05
    """Of the stage's total."""
    bloom_share: float = 0.20
    """Bloom water off its mass."""
    bloom_early_s: Seconds = 5.0
    """Next pour before its time."""
    bloom_least_s: Seconds = 15.0
    """Next pour this soon after first water is too early whatever the plan."""
    bloom_late_s: Seconds = 15.0
    """Next pour after its time."""
    stage_off_s: Seconds = 8.0
    """A later stage before or after its time."""
    drain_share: float = 0.25
    """Of the planned finish, past which the bed drains slowly."""
    gap_s: Seconds = 1.0
    """Without a reading."""

    def changed(self) -> dict[str, float]:
        """Only the fields that differ from the defaults."""
        usual = FlagLimits()
        return {
            f.name: getattr(self, f.name)
            for f in fields(self)
            if getattr(self, f.name) != getattr(usual, f.name)
        }

    @classmethod
    def from_table(cls, table: CheckedTable) -> Self:
        """Read changed fields; raises UsageError naming an impossible one."""
        return cls(
            **{
                f.name: table.number(f.name, least=_TINY, most=_HUGE, remedy=_ABOVE_0)
                for f in fields(cls)
                if f.name in table
            }
        )
