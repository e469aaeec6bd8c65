"""A weight that falls: no water, for water does not leave the platform again."""

from pourcoach.domain.units import Grams, Seconds

# The weight has fallen when it lies this far below its peak for this long; less is slosh (common
# practice), or the bed that dries, which the peak follows down.
FALL_G = 1.5
FALL_SIGMAS = 6.0
FALL_FOR_S = 0.3
# A wet, hot bed loses no more than this by evaporation (0.01 to 0.05 g/s were measured).
DRIES_GPS = 0.05
# A weight that was falling has come down when it has fallen by no more than this for so long.
STILL_FALLING_G = 0.2
COME_DOWN_S = 0.6


class FallWatch:
    """Looks for a fall of the weight too slow to be seen in any one reading."""

    __slots__ = ("_at_s", "_below_s", "_peak_g", "falling")

    def __init__(self, t_s: Seconds, mass_g: Grams) -> None:
        self.falling: tuple[Seconds, Grams] | None = None
        """When a fall was last seen to go on, and how far down, until it has come down."""
        self.restart(t_s, mass_g)

    def restart(self, t_s: Seconds, mass_g: Grams) -> None:
        """Begin anew from here."""
        self._at_s = t_s
        self._peak_g = mass_g
        self._below_s: Seconds | None = None

    def explained(self, t_s: Seconds, mass_g: Grams) -> None:
        """The weight has come down to this, and why is known."""
        self.falling = None
        self.restart(t_s, mass_g)

    def see(self, t_s: Seconds, mass_g: Grams, noise_g: Grams) -> bool:
        """Take in the filtered weight; True when it has fallen."""
        peak_g = self._peak_g - DRIES_GPS * (t_s - self._at_s)
        self._at_s = t_s
        self._peak_g = mass_g if mass_g > peak_g else peak_g
        if self._peak_g - mass_g < FALL_G or self._peak_g - mass_g < FALL_SIGMAS * noise_g:
            self._below_s = None
            return False
        if self._below_s is None:
            self._below_s = t_s
        if t_s - self._below_s < FALL_FOR_S:
            return False
        self.falling = t_s, mass_g
        self.restart(t_s, mass_g)
        return True

    def came_down(self, t_s: Seconds, mass_g: Grams, *, pouring: bool) -> Seconds | None:
        """After ``see``: since when a weight that fell has rested; reported once, and not while
        water may run."""
        if self.falling is None:
            return None
        since_s, lowest_g = self.falling
        if mass_g < lowest_g - STILL_FALLING_G:
            self.falling = t_s, mass_g
        elif t_s - since_s > COME_DOWN_S and not pouring:
            self.falling = None
            return since_s
        return None
