"""What counts as zero: tares by us, tares by the scale, vessels, and taking tares back."""

from pourcoach.domain.inputs import Tare
from pourcoach.domain.units import Grams, Seconds

# How long a scale may take to carry out a tare it was commanded (common practice).
SCALE_TARE_S = 2.0


class Zero:
    """Keeps one unbroken weight under the filter, whatever is tared, set down or taken away.

    ``unbroken = reading + shift`` goes to the filter; ``net = unbroken - booked`` is shown. A tare
    of the scale and a vessel move the shift, so that the unbroken weight goes on; of the two only
    a vessel moves what is shown too. A tare by key moves what is shown alone.
    """

    __slots__ = ("_acts", "_mark_g", "_pending_s", "booked_g", "shift_g", "tares_g")

    def __init__(self) -> None:
        self.shift_g: Grams = 0.0
        """Reading to unbroken weight."""
        self.tares_g: Grams = 0.0
        """The part of the shift that tares of the scale have made."""
        self.booked_g: Grams = 0.0
        """What is taken off the unbroken weight to show it."""
        self._mark_g: Grams = 0.0
        self._pending_s: Seconds | None = None
        self._acts: list[tuple[Tare, Grams | None]] = []

    def booked_under(self, shift_g: Grams, tares_g: Grams) -> Grams:
        """The same, should these turn out to hold."""
        mark_g = self._mark_g if tares_g == self.tares_g else tares_g
        return shift_g - tares_g + mark_g

    def expects_tare(self, t_s: Seconds) -> bool:
        """Whether the scale was commanded to go to zero and may yet do it."""
        return self._pending_s is not None and t_s <= self._pending_s

    def tare(self, item: Tare, level_g: Grams) -> None:
        """The brewer tares; ``level_g`` is the unbroken weight now."""
        self._acts.append((item, self._mark_g))
        self._mark_g += level_g - self.booked_g
        self._book()
        if item.by_scale:
            self._pending_s = item.t_s + SCALE_TARE_S

    def undo(self, item: Tare) -> None:
        """The brewer takes that tare back. One that the scale's own button has overtaken shows
        what the scale shows, and goes on doing so."""
        if self._acts and self._acts[-1][0] is item:
            _, before_g = self._acts.pop()
            if before_g is not None:
                self._mark_g = before_g
                self._book()

    def moved(self, t_s: Seconds, shift_g: Grams, tares_g: Grams) -> None:
        """A vessel or a tare of the scale has moved the readings: from now on these hold."""
        self.shift_g = shift_g
        if tares_g == self.tares_g:
            self._book()
            return
        self.tares_g = tares_g
        self._mark_g = tares_g
        self._book()
        if self.expects_tare(t_s):
            self._pending_s = None
        else:
            self._acts = [(act, None) for act, _ in self._acts]

    def _book(self) -> None:
        self.booked_g = self.shift_g - self.tares_g + self._mark_g
