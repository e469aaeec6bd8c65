"""Finished pours whose refinement is under way, oldest first."""

from collections.abc import Iterable
from dataclasses import replace
from typing import TypeAlias

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.pours.hinge import HALF_RAMP_UP_S
from pourcoach.estimation.pours.refit import Refinement

# No hand pours with a higher mean flow for long (common practice).
MOST_FLOW_GPS = 14.0
# Less than this is no pour: a drip, slosh, a hand leaning (common practice).
LEAST_POUR_G = 1.0

Rest: TypeAlias = tuple[Seconds, Grams]
"""When and where the weight rested."""


class RefiningQueue:
    """Gives each pour as reported live with the one that takes its place."""

    __slots__ = ("_queue", "busy", "newest")

    def __init__(self) -> None:
        self._queue: list[tuple[Refinement, Rest | None]] = []
        self.busy = False
        """Whether any is left."""
        self.newest: tuple[Pour, Pour] | None = None
        """The last that was done: as reported live, and refined."""

    def refined(self, pours: Iterable[Pour], then: Pour | None = None) -> list[Pour]:
        """The pours, with the last that was done in place of what it was live; ``then`` is open
        after them. Its end may come to lie where the water of the next has begun by now."""
        live, done = self.newest or (None, None)
        placed = [done if done is not None and pour is live else pour for pour in pours]
        for place, (pour, after) in enumerate(zip(placed, [*placed[1:], then], strict=False)):
            if after is not None and pour.end_s is not None and pour.end_s > after.start_s:
                placed[place] = replace(pour, end_s=after.start_s)
        return placed

    def add(self, refinement: Refinement, rest_before: Rest | None) -> None:
        """One more; ``rest_before``: the last rest before it, if that was seen."""
        self._queue.append((refinement, rest_before))
        self.busy = True

    def forget(self, live: Pour) -> None:
        """Drop this one, which will begin anew."""
        self._queue = [one for one in self._queue if one[0].live is not live]
        self.busy = bool(self._queue)

    def step(self) -> tuple[Pour, Pour] | None:
        """Work on the oldest for a slice; what it gives when that was the last."""
        if not self._queue:
            return None
        refinement, rest = self._queue[0]
        pour = refinement.step()
        if pour is None:
            return None
        del self._queue[0]
        self.busy = bool(self._queue)
        self.newest = refinement.live, begun_unseen(pour, rest)
        return self.newest


def begun_unseen(pour: Pour, rest: Rest | None) -> Pour:
    """With the water that ran before the pour was seen, under a touch: the weight had risen
    from where it rested, by no more than water does."""
    mean_gps = pour.mean_flow_gps
    if rest is None or mean_gps is None or pour.end_s is None or pour.end_g is None:
        return pour
    rest_s, rest_g = rest
    unseen_g = pour.start_g - rest_g
    # A start is placed before the weight from which it is seen to rise, as if it began there.
    most_g = MOST_FLOW_GPS * (pour.start_s + HALF_RAMP_UP_S - rest_s)
    if not LEAST_POUR_G < unseen_g < most_g:
        return pour
    start_s = max(rest_s, pour.start_s - unseen_g / mean_gps)
    return replace(
        pour,
        start_s=start_s,
        start_g=rest_g,
        mean_flow_gps=(pour.end_g - rest_g) / (pour.end_s - start_s),
        start_error_s=None,
        unseen_g=pour.unseen_g + unseen_g,
        mass_error_g=None,
        mean_flow_error_gps=None,
    )
