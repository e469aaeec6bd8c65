"""What a key did, in a few words."""

from pourcoach.domain.brew_clock import clock
from pourcoach.domain.key_press import Key, KeyPress
from pourcoach.domain.units import Seconds


def key_sentence(press: KeyPress, brew_start_s: Seconds | None) -> str:
    """The confirmation of ``press``, in the brew's own time."""
    at = moment_clock(press, brew_start_s)
    match press.key:
        case Key.MARK:
            return f"Marked: {at}."
        case Key.NOTE:
            return f"Note kept, {at}: {press.text}"
        case Key.TARE:
            return "Tared."
        case Key.BEGIN if brew_start_s is not None and press.t_s > brew_start_s:
            return "Counted as water."
        case Key.BEGIN:
            return "Ready: the next rise of weight is the first water."
        case Key.FINISH:
            return f"Ended by key, {at}."
        case Key.UNDO:
            return _undone(press.undone, brew_start_s)


def moment_words(moment: KeyPress, brew_start_s: Seconds | None) -> str:
    """A mark or a note, as the review lists it."""
    what = f"note: {moment.text}" if moment.key is Key.NOTE else moment.key.value
    return f"{moment_clock(moment, brew_start_s)} {what}"


def moment_clock(moment: KeyPress, brew_start_s: Seconds | None) -> str:
    """When it was, as time since the first water."""
    if brew_start_s is None or moment.t_s < brew_start_s:
        return "before the first water"
    return clock(moment.t_s - brew_start_s)


def _undone(undone: KeyPress | None, brew_start_s: Seconds | None) -> str:
    if undone is None:
        return "There is nothing to take back."
    if undone.key is Key.FINISH:
        return "The brew goes on."
    return f"Taken back: the {undone.key.value}, {moment_clock(undone, brew_start_s)}."
