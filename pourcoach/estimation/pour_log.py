"""Pours as they begin, are confirmed or taken back, end, and are refined."""

from dataclasses import replace

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.hinge import fit_rise, fit_stop
from pourcoach.estimation.record import Record
from pourcoach.estimation.refit import STILL_SIDE_S, refit

# A pour is told provisionally at once, and must then be this sure for this long.
PROVISIONAL_PROBABILITY = 0.9
SURE_PROBABILITY = 0.99
SURE_FOR_S = 0.2
# It is taken back or has ended below this.
OVER_PROBABILITY = 0.05
# Below this flow nobody pours: a drip, a draught or a hand leaning (common practice).
LEAST_FLOW_GPS = 1.0
# How far back the bend is looked for when a start or a stop is told live.
LOOK_BACK_S = 1.0


class PourLog:
    """The list of pours; one may be open, one may wait to be refined."""

    __slots__ = ("_all", "_confirmed", "_finished", "_open", "_sure_since_s", "_waiting_offset_g")

    def __init__(self) -> None:
        self._finished: list[Pour] = []
        self._open: Pour | None = None
        self._confirmed = False
        self._sure_since_s: Seconds | None = None
        self._waiting_offset_g: Grams | None = None
        self._all: tuple[Pour, ...] = ()

    @property
    def pours(self) -> tuple[Pour, ...]:
        """Oldest first."""
        return self._all

    @property
    def pouring(self) -> bool:
        """Whether one is open, confirmed or provisional."""
        return self._open is not None

    def holds(self, t_s: Seconds) -> bool:
        """Whether water ran at this moment of the recent past."""
        if self._open is not None and t_s >= self._open.start_s:
            return True
        last = self._finished[-1] if self._finished else None
        return last is not None and last.start_s <= t_s <= (last.end_s or last.start_s)

    def feed(
        self,
        t_s: Seconds,
        probability: float,
        flow_gps: GramsPerSecond,
        mass_g: Grams,
        offset_g: Grams,
        noise_var: float,
        record: Record,
    ) -> None:
        """A good reading at ``t_s``; ``mass_g`` is the filtered weight before ``offset_g``."""
        if self._open is None:
            if probability > PROVISIONAL_PROBABILITY and flow_gps > LEAST_FLOW_GPS:
                self._refine(t_s, noise_var, record)
                self._open = Pour(start_s=t_s, start_g=mass_g - offset_g)
                self._confirmed, self._sure_since_s = False, None
                self._place_start(t_s, offset_g, noise_var, record)
            elif self._waiting_offset_g is not None:
                end_s = self._finished[-1].end_s
                if end_s is None or t_s >= end_s + STILL_SIDE_S:
                    self._refine(t_s, noise_var, record)
            else:
                record.forget(t_s - 2.0 * STILL_SIDE_S)
        elif probability < OVER_PROBABILITY:
            if self._confirmed:
                self.end(t_s, mass_g, offset_g, noise_var, record)
            else:
                self._open = None
                self._tell()
        elif not self._confirmed:
            if probability < SURE_PROBABILITY or flow_gps < LEAST_FLOW_GPS:
                self._sure_since_s = None
            elif self._sure_since_s is None:
                self._sure_since_s = t_s
            elif t_s - self._sure_since_s >= SURE_FOR_S:
                self._confirmed = True
                self._place_start(t_s, offset_g, noise_var, record)

    def end(
        self, t_s: Seconds, mass_g: Grams, offset_g: Grams, noise_var: float, record: Record
    ) -> None:
        """End the open pour, if there is one, where the rise bends into rest."""
        if self._open is None:
            return
        pour, self._open = self._open, None
        stop = fit_stop(*record.between(max(pour.start_s, t_s - LOOK_BACK_S), t_s), noise_var)
        end_s = stop.t_s if stop else t_s
        end_g = (stop.level_g if stop else mass_g) - offset_g
        if self._confirmed and end_s > pour.start_s:
            mean_flow = (end_g - pour.start_g) / (end_s - pour.start_s)
            self._finished.append(replace(pour, end_s=end_s, end_g=end_g, mean_flow_gps=mean_flow))
            self._waiting_offset_g = offset_g
        self._tell()

    def tare(self, change_g: Grams) -> None:
        """The offset rose by ``change_g``: the open pour counts from the new zero."""
        if self._open is not None:
            self._open = replace(self._open, start_g=self._open.start_g - change_g)
            self._tell()

    def close(self, t_s: Seconds, noise_var: float, record: Record) -> None:
        """Refine what waits for it."""
        self._refine(t_s, noise_var, record)
        self._tell()

    def _place_start(self, t_s: Seconds, offset_g: Grams, noise_var: float, record: Record) -> None:
        """Place the start of the open pour where rest bends into the rise, if that can be seen."""
        rise = fit_rise(*record.between(t_s - LOOK_BACK_S, t_s), noise_var)
        if rise is not None:
            self._open = Pour(start_s=rise.t_s, start_g=rise.level_g - offset_g)
        self._tell()

    def _refine(self, t_s: Seconds, noise_var: float, record: Record) -> None:
        if self._waiting_offset_g is None:
            return
        before_s = self._finished[-2].end_s if len(self._finished) > 1 else None
        self._finished[-1] = refit(
            self._finished[-1],
            record,
            self._waiting_offset_g,
            noise_var,
            still_from_s=-1e9 if before_s is None else before_s,
            still_to_s=t_s,
        )
        self._waiting_offset_g = None
        self._tell()

    def _tell(self) -> None:
        tail = () if self._open is None else (self._open,)
        self._all = (*self._finished, *tail)
