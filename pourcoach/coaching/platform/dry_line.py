"""The weight from which water is counted."""

from pourcoach.domain.units import Grams


class DryLine:
    """The unbroken weight with no water on it, where the scale's zero was right. What is tared, set
    down or taken away moves it until the first water."""

    __slots__ = ("_moved_g", "booked_g", "dry_g")

    def __init__(self) -> None:
        self.dry_g: Grams = 0.0
        """This weight."""
        self.booked_g: Grams = 0.0
        """What was taken off the unbroken weight last to show it."""
        self._moved_g: Grams = 0.0

    def put(self, dry_g: Grams) -> None:
        """It is here, whatever has moved it since the brew began."""
        self.dry_g, self._moved_g = dry_g, 0.0

    def feed(self, booked_g: Grams, *, begun: bool, kept: bool) -> None:
        """What is taken off the unbroken weight now to show it. ``begun``: the first water has
        come; ``kept``: the brewer has said what is dry, whatever is shown."""
        self._moved_g += booked_g - self.booked_g
        self.booked_g = booked_g
        if begun:
            # Should the first water be taken back, what it was taken for has moved the weight too.
            return
        if not kept:
            self.dry_g += self._moved_g
        self._moved_g = 0.0

    def tared(self, booked_g: Grams) -> None:
        """A tare by key, or one that was taken back, moves what is shown alone."""
        self.booked_g = booked_g
