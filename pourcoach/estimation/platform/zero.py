"""What counts as zero: tares by us, tares by the scale, and taking them back."""

from pourcoach.domain.inputs import Finish, Input, Mark, Tare, Undo
from pourcoach.domain.units import Grams, Seconds

# How long a scale may take to carry out a tare it was told (common practice).
SCALE_TARE_S = 2.0
# A jump smaller than this cannot be told from noise, and need not be.
LEAST_JUMP_G = 0.3


class Zero:
    """Keeps one unbroken weight under the filter, whatever the scale does to its own zero.

    ``unbroken = reading + shift`` goes to the filter; ``net = unbroken - offset`` is shown.
    A tare moves the offset. When a scale that was told to tare jumps to its new zero, the shift
    takes up the jump, so that ``net`` is the scale's own figure from then on and no pour is seen.
    """

    __slots__ = ("_acts", "_offset_g", "_pending", "_shift_g")

    def __init__(self) -> None:
        self._shift_g = 0.0
        self._offset_g = 0.0
        self._pending: tuple[Seconds, Grams] | None = None
        self._acts: list[Grams | None] = []

    @property
    def offset_g(self) -> Grams:
        """What is taken off the unbroken weight."""
        return self._offset_g

    def act(self, item: Input, level_g: Grams) -> None:
        """Follow a key press; ``level_g`` is the unbroken weight now."""
        match item:
            case Tare():
                self._acts.append(self._offset_g)
                self._offset_g = level_g
                if item.by_scale:
                    self._pending = (item.t_s + SCALE_TARE_S, level_g)
            case Mark() | Finish():
                self._acts.append(None)
            case Undo() if self._acts:
                before_g = self._acts.pop()
                if before_g is not None:
                    self._offset_g = before_g
            case _:
                pass

    def unbroken(self, t_s: Seconds, grams: Grams, expected_g: Grams) -> Grams:
        """The filter's weight for this reading; ``expected_g`` is what it would look for."""
        unbroken_g = grams + self._shift_g
        if self._pending is not None:
            until_s, new_shift_g = self._pending
            if t_s > until_s:
                self._pending = None
            elif abs(new_shift_g - self._shift_g) > LEAST_JUMP_G:
                jumped_g = grams + new_shift_g
                if abs(jumped_g - expected_g) < abs(unbroken_g - expected_g):
                    self._shift_g = new_shift_g
                    self._pending = None
                    return jumped_g
        return unbroken_g
