"""What a brew is judged with beside its plan: goes on the tape, so that a replay judges alike."""

from dataclasses import dataclass
from typing import Any, Self

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.fall import LEAST_HEIGHT_CM, MOST_HEIGHT_CM
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.units import Seconds

# Simple visual reaction about 0.19 s, recognition about 0.38 s (Welford 1980; Laming 1968);
# 0.25 s serves until the brewer's own lead is learnt.
USUAL_REACTION_S = 0.25
# No hand, screen or scale that a pour can be guided by is a minute late.
LONGEST_DELAY_S = 60.0


@dataclass(frozen=True, slots=True)
class Setup:
    """Settings that change what the fold answers."""

    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE
    reaction_s: Seconds = USUAL_REACTION_S
    """From the STOP word to the water stopping, for this brewer."""
    display_delay_s: Seconds = 0.05
    """From a Frame to light on the screen: one frame at 20/s, common practice."""
    scale_delay_s: Seconds = 0.0
    """Known constant delay of the scale; it cannot be seen from arrivals."""
    fall_height_cm: float | None = None
    """From the spout to the bed; None where nobody has said, and it is taken to be usual."""

    def as_dict(self) -> dict[str, Any]:
        """The tape header's form; a height that nobody has said is left out."""
        data: dict[str, Any] = {
            "reaction_s": self.reaction_s,
            "display_delay_s": self.display_delay_s,
            "scale_delay_s": self.scale_delay_s,
        }
        if self.fall_height_cm is not None:
            data["fall_height_cm"] = self.fall_height_cm
        return data

    @classmethod
    def from_table(cls, table: CheckedTable, arrangement: Arrangement) -> Self:
        """Read the header's form; what is absent takes its default.

        Raises UsageError naming what is of a wrong kind or beyond any use.
        """
        usual = cls()
        return cls(
            arrangement=arrangement,
            reaction_s=delay_s(table, "reaction_s", usual.reaction_s),
            display_delay_s=delay_s(table, "display_delay_s", usual.display_delay_s),
            scale_delay_s=delay_s(table, "scale_delay_s", usual.scale_delay_s),
            fall_height_cm=fall_height_cm(table),
        )


def fall_height_cm(table: CheckedTable) -> float | None:
    """The height under ``fall_height_cm``, or None; raises UsageError for one that no kettle is
    held at."""
    if "fall_height_cm" not in table:
        return None
    return table.number(
        "fall_height_cm",
        least=LEAST_HEIGHT_CM,
        most=MOST_HEIGHT_CM,
        remedy=f"use {LEAST_HEIGHT_CM:g} to {MOST_HEIGHT_CM:g} cm, from the spout to the bed",
    )


def delay_s(
    table: CheckedTable, key: str, usual_s: Seconds, most_s: Seconds = LONGEST_DELAY_S
) -> Seconds:
    """A delay from 0 to ``most_s``; raises UsageError for any other."""
    remedy = f"make it a number of seconds from 0 to {most_s:g}"
    return table.number(key, usual_s, least=0.0, most=most_s, remedy=remedy)
