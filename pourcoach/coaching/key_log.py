"""What the brewer did by key: confirmed at once, and shown in the review at its moment."""

from collections.abc import Mapping

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
_CAN_BE_TAKEN_BACK = (Key.TARE, Key.MARK, Key.FINISH)


class KeyLog:
    """``feed`` takes every input in order."""

    def __init__(self) -> None:
        self.moments: tuple[KeyPress, ...] = ()
        """Marks and notes, less those taken back, oldest first."""
        self.last: KeyPress | None = None
        """The newest press of any key."""
        self._can_undo: list[KeyPress] = []

    def feed(self, item: Input, taken_back: Tare | Mark | Finish | None, *, done: bool) -> None:
        """``taken_back``: what this input takes back; ``done``: whether the brew was over before
        it, for to end it again does nothing."""
        key = _KEYS.get(type(item))
        if key is None or (key is Key.FINISH and done):
            return
        press = KeyPress(item.t_s, key, item.text if isinstance(item, Note) else "")
        if key is Key.UNDO:
            undone = self._press_of(taken_back)
            press = KeyPress(item.t_s, key, undone=undone)
            self.moments = tuple(moment for moment in self.moments if moment is not undone)
        elif key in (Key.MARK, Key.NOTE):
            self.moments = (*self.moments, press)
        if key in _CAN_BE_TAKEN_BACK:
            self._can_undo.append(press)
        self.last = press

    def _press_of(self, act: Tare | Mark | Finish | None) -> KeyPress | None:
        """The press that an act came with."""
        if act is None:
            return None
        found = (press for press in reversed(self._can_undo) if press.t_s == act.t_s)
        return next((press for press in found if press.key is _KEYS[type(act)]), None)
