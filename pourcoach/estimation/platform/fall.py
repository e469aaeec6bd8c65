"""A weight that falls: no water, for water does not leave the platform again."""

from pourcoach.domain.units import Grams, Seconds

# The weight has fallen when it lies this far below its peak for this long; less is slosh, or a
# drift of evaporation, which the peak follows down (common practice).
FALL_G = 1.5
FALL_SIGMAS = 6.0
FALL_FOR_S = 0.3
FOLLOWS_GPS = 0.05


class FallWatch:
    """Looks for a fall of the weight too slow to be seen in any one reading."""

    __slots__ = ("_at_s", "_below_s", "_peak_g")

    def __init__(self, t_s: Seconds, mass_g: Grams) -> None:
        self.restart(t_s, mass_g)

    def restart(self, t_s: Seconds, mass_g: Grams) -> None:
        """Begin anew from here."""
        self._at_s = t_s
        self._peak_g = mass_g
        self._below_s: Seconds | None = None

    def see(self, t_s: Seconds, mass_g: Grams, noise_g: Grams) -> bool:
        """Take in the filtered weight; True while it has fallen."""
        peak_g = self._peak_g - FOLLOWS_GPS * (t_s - self._at_s)
        self._at_s = t_s
        self._peak_g = mass_g if mass_g > peak_g else peak_g
        if self._peak_g - mass_g < FALL_G or self._peak_g - mass_g < FALL_SIGMAS * noise_g:
            self._below_s = None
            return False
        if self._below_s is None:
            self._below_s = t_s
        return t_s - self._below_s >= FALL_FOR_S
