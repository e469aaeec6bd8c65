"""When a provisional pour is believed."""

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.pours.start_watch import LEAST_FLOW_GPS

# A start must then be this sure for this long, or it is taken back.
SURE_PROBABILITY = 0.99
SURE_FOR_S = 0.2
# So much over so long is no touch, however the steps of a coarse scale or the drumming of the
# water keep it from being sure.
CERTAIN_G = 5.0
CERTAIN_S = 2.0


class Confirmation:
    """Of the pour that is open."""

    __slots__ = ("_sure_since_s", "given")

    def __init__(self) -> None:
        self.given = False
        """Whether it is more than provisional."""
        self._sure_since_s: Seconds | None = None

    def begin(self, *, given: bool) -> None:
        """Another pour is open."""
        self.given, self._sure_since_s = given, None

    def see(
        self,
        pour: Pour,
        t_s: Seconds,
        probability: float,
        flow_gps: GramsPerSecond,
        mass_g: Grams,
    ) -> bool:
        """Take in what the filter makes of a reading; whether it is sure only now, soon enough for
        the start to be placed anew."""
        risen_g = mass_g - pour.start_g
        if risen_g > CERTAIN_G and t_s - pour.start_s > CERTAIN_S:
            self.given = True
        elif probability < SURE_PROBABILITY or flow_gps < LEAST_FLOW_GPS:
            self._sure_since_s = None
        elif self._sure_since_s is None:
            self._sure_since_s = t_s
        elif t_s - self._sure_since_s >= SURE_FOR_S:
            self.given = True
            return True
        return False
