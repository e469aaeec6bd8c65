"""The keys that the brewer pressed: confirmed at once, and shown in the review at their times."""

from collections.abc import Mapping
from dataclasses import replace

from pourcoach.domain.inputs import Begin, Finish, Input, Mark, Note, Tare, Undo
from pourcoach.domain.key_press import Key, KeyPress

_KEYS: Mapping[type[Input], Key] = {
    Tare: Key.TARE,
    Begin: Key.BEGIN,
    Mark: Key.MARK,
    Note: Key.NOTE,
    Finish: Key.FINISH,
    Undo: Key.UNDO,
}


class KeyLog:
    """Records key presses. ``feed`` takes every input in order."""

    def __init__(self) -> None:
        self.moments: tuple[KeyPress, ...] = ()
        """Marks and notes, less those taken back, oldest first."""
        self.last: KeyPress | None = None
        """The newest press of any key."""
        self._idle: list[Finish] = []
        """Presses of Finish after the brew was over: undoing them changes nothing."""

    def feed(self, item: Input, taken_back: Tare | Mark | Finish | None, *, done: bool) -> None:
        """Take the next input. ``taken_back`` is what it undoes; ``done`` is whether the brew was
        over before it, since ending it again does nothing."""
        if type(item) not in _KEYS:
            return
        if isinstance(item, Finish) and done:
            self._idle.append(item)
            return
        press = _press_of(item)
        if isinstance(item, Undo) and taken_back is not None and taken_back not in self._idle:
            press = replace(press, undone=_press_of(taken_back))
            self.moments = tuple(moment for moment in self.moments if moment != press.undone)
        elif isinstance(item, Mark | Note):
            self.moments = (*self.moments, press)
        self.last = press


def _press_of(item: Input) -> KeyPress:
    return KeyPress(item.t_s, _KEYS[type(item)], item.text if isinstance(item, Note) else "")
