"""A Frame as it stands at a later moment: clocks run on and STOP falls due between inputs."""

from pourcoach.domain.advice import Cue, CueState, Word, usual_cue
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Seconds

# Bound here: before Python 3.12 to reach a member of an Enum takes as long as a call.
_DONE = Phase.DONE


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
        pour = pour.moved_on(since_s, pour.water_g, pour.off_g)
    return frame._replace(cue=cue, pour=pour)


def with_weight(frame: Frame, t_s: Seconds, estimate: Estimate) -> Frame:
    """Return ``frame`` after the next reading, at ``t_s``, where only the weight has moved: with
    the new water, its distance from the target as it was, and the clocks moved on."""
    pour = frame.pour
    if pour.phase is not _DONE:
        before, off_g = frame.estimate, pour.off_g
        # The difference of the unbroken weights.
        rose_g = estimate.mass_g + estimate.booked_g - (before.mass_g + before.booked_g)
        water_g = pour.water_g + rose_g
        if off_g is not None:
            off_g += water_g - pour.water_g
        pour = pour.moved_on(t_s - frame.t_s, water_g, off_g)
    return frame.moved_on(t_s, estimate, pour)


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
