"""A weight that comes and goes slowly: no water, for water does not leave the platform again."""

from collections import deque

from pourcoach.domain.units import Grams, Seconds

# The weight has fallen when it lies this far below its peak for this long; less is slosh, or a
# drift of evaporation, which the peak follows down (common practice).
FALL_G = 1.5
FALL_FOR_S = 0.3
FOLLOWS_GPS = 0.05
# It rests again, or rises as water does, when it has kept to a line this near for this long; water
# comes no faster, and strays from its line by a share of its rise (common practice).
REST_G = 0.5
REST_S = 1.0
MOST_RISE_GPS = 14.0
STRAYS_SHARE = 0.1


class LeanWatch:
    """Looks for a slow fall of the weight, where no jump was told."""

    __slots__ = ("_at_s", "_below_s", "_late", "_peak_g", "leaning")

    def __init__(self, t_s: Seconds, mass_g: Grams) -> None:
        self.restart(t_s, mass_g)

    def restart(self, t_s: Seconds, mass_g: Grams) -> None:
        """Begin anew from here: the level has jumped."""
        self._at_s = t_s
        self._peak_g = mass_g
        self._below_s: Seconds | None = None
        self._late: deque[tuple[Seconds, Grams]] = deque()
        self.leaning = False
        """Whether something other than water moves the weight now."""

    def see(self, t_s: Seconds, mass_g: Grams) -> bool:
        """Take in the filtered weight; True while it falls or has just fallen."""
        peak_g = self._peak_g - FOLLOWS_GPS * (t_s - self._at_s)
        self._at_s = t_s
        self._peak_g = mass_g if mass_g > peak_g else peak_g
        if self.leaning:
            self._late.append((t_s, mass_g))
            if self._keeps_to_a_line():
                self.restart(t_s, mass_g)
        elif self._peak_g - mass_g < FALL_G:
            self._below_s = None
        elif self._below_s is None:
            self._below_s = t_s
        elif t_s - self._below_s >= FALL_FOR_S:
            self.leaning = True
            self._late.append((t_s, mass_g))
        return self.leaning

    def _keeps_to_a_line(self) -> bool:
        """Whether the last ``REST_S`` were rest or water; forgets what came before them."""
        late = self._late
        end_s, end_g = late[-1]
        while len(late) > 2 and end_s - late[1][0] >= REST_S:
            late.popleft()
        begin_s, begin_g = late[0]
        if end_s - begin_s < REST_S:
            return False
        slope_gps = (end_g - begin_g) / (end_s - begin_s)
        near_g = REST_G + STRAYS_SHARE * abs(end_g - begin_g)
        return -REST_G < slope_gps < MOST_RISE_GPS and all(
            abs(g - begin_g - slope_gps * (t_s - begin_s)) <= near_g for t_s, g in late
        )
