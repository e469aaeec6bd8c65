"""What the brewer has done and may take back: one history for all who act on it."""

from pourcoach.domain.inputs import Finish, Input, Mark, Tare, Undo


class UndoHistory:
    """Tares, marks and finishes, to be taken back newest first."""

    __slots__ = ("_acts",)

    def __init__(self) -> None:
        self._acts: list[Tare | Mark | Finish] = []

    def feed(self, item: Input) -> Tare | Mark | Finish | None:
        """Take any input; what it takes back, if anything.

        A finish after one that stands changes nothing, and is nothing to take back.
        """
        if isinstance(item, Undo):
            return self._acts.pop() if self._acts else None
        again = isinstance(item, Finish) and any(isinstance(act, Finish) for act in self._acts)
        if isinstance(item, Tare | Mark | Finish) and not again:
            self._acts.append(item)
        return None
