"""Readings that do not belong: a knock that passes, or a level that has jumped and stays."""

from pourcoach.domain.estimate import Disturbance
from pourcoach.domain.units import Grams, Seconds

# This many readings in a row off, and agreeing, over at least this time, are a new level.
LEAST_READINGS = 8
LEAST_S = 0.3
# They agree when they lie within this many standard deviations, or this range.
AGREE_SIGMAS = 8.0
AGREE_G = 0.5
# A reading that is off by less is no knock: so much water a flow that suddenly stops, goes on or
# surges makes up since the last good reading, before the filter has followed (common practice).
KNOCK_G = 1.5
KNOCK_GPS = 12.0
# How long a disturbance is said to be in force after its last sign.
KNOCK_LASTS_S = 0.5
JUMP_LASTS_S = 1.0


class JumpWatch:
    """Looks at the readings that the filter takes for touches."""

    __slots__ = ("_good_s", "_kind", "_off", "_until_s")

    def __init__(self) -> None:
        self._off: list[tuple[Seconds, Grams]] = []
        self._kind: Disturbance | None = None
        self._until_s = 0.0
        self._good_s: Seconds | None = None

    def disturbance(self, t_s: Seconds) -> Disturbance | None:
        """In force at this moment."""
        return self._kind if self._kind is not None and t_s < self._until_s else None

    def see(
        self, t_s: Seconds, grams: Grams, expected_g: Grams, good: float, noise_var: float
    ) -> Grams:
        """The jump of the level, once it is told; else 0. ``good``: no touch, as probability."""
        if good >= 0.5:
            self._off.clear()
            self._good_s = t_s
            return 0.0
        self._off.append((t_s, grams))
        since_s = 0.0 if self._good_s is None else t_s - self._good_s
        if abs(grams - expected_g) > KNOCK_G + KNOCK_GPS * since_s:
            self._kind, self._until_s = Disturbance.KNOCK, t_s + KNOCK_LASTS_S
        late = self._off[-LEAST_READINGS:]
        if len(late) < LEAST_READINGS or t_s - late[0][0] < LEAST_S:
            late = [entry for entry in self._off if entry[0] >= t_s - LEAST_S]
            if len(late) < LEAST_READINGS or self._off[0][0] > t_s - LEAST_S:
                return 0.0
        weights = [g for _, g in late]
        if max(weights) - min(weights) > max(AGREE_G, AGREE_SIGMAS * noise_var**0.5):
            return 0.0
        jump_g = sum(weights) / len(weights) - expected_g
        self._kind = Disturbance.PLACED if jump_g > 0 else Disturbance.LIFTED
        self._until_s = t_s + JUMP_LASTS_S
        self._off.clear()
        return jump_g
