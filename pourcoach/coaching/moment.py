"""A Frame as it stands at a later moment: clocks run on and STOP falls due between inputs."""

from pourcoach.domain.advice import Cue, CueState, Word, usual_cue
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Seconds


def at_moment(frame: Frame, now_s: Seconds, *, running: bool = True, stale: bool = False) -> Frame:
    """Return ``frame`` at ``now_s`` on the tape: with the cue in force then, and the time since the
    first water and the countdown moved on.

    ``running`` is False once the session has ended: then clocks stand still. ``stale`` means that
    no frame has come for too long.
    """
    since_s = max(0.0, now_s - frame.t_s) if running else 0.0
    cue = cue_in_force(frame, frame.t_s + since_s, stale=stale)
    pour = frame.pour
    if since_s:
        brew_s, countdown_s = pour.brew_s, pour.countdown_s
        if brew_s is not None and pour.end_s is None:
            brew_s += since_s
        if countdown_s is not None:
            countdown_s -= since_s
        pour = pour._replace(brew_s=brew_s, countdown_s=countdown_s)
    return frame._replace(cue=cue, pour=pour)


def cue_in_force(frame: Frame, at_s: Seconds, *, stale: bool = False) -> Cue:
    """Return the cue in force at ``at_s``. STOP takes over at its time without waiting for an
    input, and a ``stale`` frame gives SCALE?, never a frozen number."""
    cue = frame.cue
    if frame.pour.phase is Phase.DONE or cue.state is CueState.LOST:
        return cue
    if stale:
        return usual_cue(Word.SCALE, at_s)
    if cue.stop_due_s is not None and at_s >= cue.stop_due_s:
        return usual_cue(Word.STOP, cue.stop_due_s)._replace(basis=cue.basis)
    return cue
