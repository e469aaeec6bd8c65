"""A weight that comes and goes slowly: no water, for water does not leave the platform again."""

from pourcoach.domain.units import Grams, Seconds

# The weight has fallen when it lies this far below its peak for this long; less is slosh, or a
# drift of evaporation, which the peak follows down (common practice).
FALL_G = 1.5
FALL_FOR_S = 0.3
FOLLOWS_GPS = 0.05
# It rests again when it has stayed this near for this long.
REST_G = 0.5
REST_S = 1.0


class LeanWatch:
    """Looks for a slow fall of the weight, where no jump was told."""

    __slots__ = ("_anchor_g", "_anchor_s", "_at_s", "_below_s", "_leaning", "_peak_g")

    def __init__(self, t_s: Seconds, mass_g: Grams) -> None:
        self.restart(t_s, mass_g)

    def restart(self, t_s: Seconds, mass_g: Grams) -> None:
        """Begin anew from here: the level has jumped."""
        self._at_s = self._anchor_s = t_s
        self._peak_g = self._anchor_g = mass_g
        self._below_s: Seconds | None = None
        self._leaning = False

    @property
    def leaning(self) -> bool:
        """Whether something other than water moves the weight now."""
        return self._leaning

    def see(self, t_s: Seconds, mass_g: Grams) -> bool:
        """Take in the filtered weight; True while it falls or has just fallen."""
        peak_g = self._peak_g - FOLLOWS_GPS * (t_s - self._at_s)
        self._at_s = t_s
        self._peak_g = mass_g if mass_g > peak_g else peak_g
        if self._leaning:
            if abs(mass_g - self._anchor_g) > REST_G:
                self._anchor_g, self._anchor_s = mass_g, t_s
            elif t_s - self._anchor_s >= REST_S:
                self.restart(t_s, mass_g)
        elif self._peak_g - mass_g < FALL_G:
            self._below_s = None
        elif self._below_s is None:
            self._below_s = t_s
        elif t_s - self._below_s >= FALL_FOR_S:
            self._leaning = True
            self._anchor_g, self._anchor_s = mass_g, t_s
        return self._leaning
