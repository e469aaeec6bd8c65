"""Which part of the weight is brew water: vessels, lifts and tares taken off."""

from bisect import bisect_right
from dataclasses import replace
from math import inf

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, Seconds


class WaterLine:
    """The weight, net of tare, at which the water stands at nought; it moves when a vessel does.

    Every move is kept with its moment, so that a pour refined later is still read off the line
    that held in its time.
    """

    def __init__(self) -> None:
        self._from_s: list[Seconds] = [-inf]
        self._at_g: list[Grams] = [0.0]

    @property
    def now_g(self) -> Grams:
        """Where the line stands now."""
        return self._at_g[-1]

    def start_at(self, t_s: Seconds, at_g: Grams) -> None:
        """Forget all moves: from ``t_s`` on, a weight of ``at_g`` is no water."""
        self._from_s, self._at_g = [-inf, t_s], [at_g, at_g]

    def move(self, t_s: Seconds, by_g: Grams) -> None:
        """The weight jumped by ``by_g`` at ``t_s`` and none of it was water."""
        self._from_s.append(t_s)
        self._at_g.append(self._at_g[-1] + by_g)

    def snapshot(self) -> tuple[tuple[Seconds, ...], tuple[Grams, ...]]:
        """The line as it is, to go back to."""
        return tuple(self._from_s), tuple(self._at_g)

    def restore(self, snapshot: tuple[tuple[Seconds, ...], tuple[Grams, ...]]) -> None:
        """Go back to a snapshot."""
        self._from_s, self._at_g = list(snapshot[0]), list(snapshot[1])

    def read(self, pour: Pour) -> Pour:
        """The pour in grams of water, read off the line that held when it ended.

        A vessel's jump ends a pour and a tare takes its start along, so one line serves for all.
        """
        end_s = inf if pour.end_s is None else pour.end_s
        line_g = self._at_g[bisect_right(self._from_s, end_s) - 1]
        if line_g == 0.0:
            return pour
        end_g = None if pour.end_g is None else pour.end_g - line_g
        return replace(pour, start_g=pour.start_g - line_g, end_g=end_g)
