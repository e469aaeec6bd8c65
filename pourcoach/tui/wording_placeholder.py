"""Stands in until the package has its wording."""

from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase, PourState


def cue_sentence(frame: Frame) -> str:
    off_g = frame.pour.off_g
    if off_g is None or abs(off_g) < 0.5:
        return frame.cue.word.value.capitalize()
    return f"{abs(off_g):.0f} g {'over' if off_g > 0 else 'under'}"


def next_line(state: PourState) -> str:
    step = state.next
    if step is None:
        return ""
    at = "" if step.at_s is None else f" at {int(step.at_s) // 60}:{int(step.at_s) % 60:02d}"
    if step.phase is Phase.POURING:
        return f"{(step.stage or '').capitalize()} to {step.to_g:.0f} g{at}"
    return f"{step.phase.value.capitalize()}{at}"
