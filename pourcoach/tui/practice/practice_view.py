"""What the practice screen shows at one moment, as one value."""

from dataclasses import dataclass

from pourcoach.domain.advice import CueState
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.frame import Frame
from pourcoach.practice.assignment import Assignment
from pourcoach.practice.block.attempt import Glance, Step
from pourcoach.practice.block.result import PourFigure, Result
from pourcoach.practice.drill.measure import PourMeasure
from pourcoach.tui.practice.head import Head
from pourcoach.tui.renderables.palette import TONES, Tone
from pourcoach.tui.widgets.text_row import Keys
from pourcoach.wording import cue_sentence
from pourcoach.wording import practice as words

LATE = "Waiting for the first reading of the scale."


@dataclass(frozen=True, slots=True)
class PracticeView:
    """Whatever is hidden is not in it."""

    head: Head
    task: str
    prose: tuple[str, ...]
    frame: Frame | None
    """For the live board, where there is one."""
    keys: Keys


def practice_view(
    glance: Glance | None,
    assignment: Assignment,
    pours: int,
    *,
    needs: tuple[str, ...] = (),
    typed: str = "",
    notice: str | None = None,
    error: str | None = None,
    kettle: bool = False,
    ended: bool = False,
) -> PracticeView:
    """``needs`` are the paragraphs before the pour; ``typed`` is the estimate so far; ``error``
    what ended the session."""
    if error is not None:
        head = Head("SCALE?", Tone.ACT, sentence=error)
        return PracticeView(head, assignment.task, (), None, (("esc", "Back"), ("q", "Quit")))
    if glance is None:
        head = Head("SCALE?", Tone.ACT, sentence=notice or LATE)
        return PracticeView(head, assignment.task, needs, None, _keys(Step.READY, kettle=kettle))
    step = glance.step
    live = glance.frame if step is Step.POURING else None
    said = (notice,) if notice is not None else ()
    place = f"{words.place_words(assignment.place)}."
    prose = (place, *needs, *said) if step is Step.READY else said
    dark = assignment.dark and step is Step.POURING and not glance.server_full and not said
    return PracticeView(
        _head(glance, assignment, pours, typed, dark=dark),
        "" if dark or step in (Step.SHOWN, Step.POURING) else assignment.task,
        prose,
        live,
        _keys(step, kettle=kettle, ended=ended),
    )


def _head(glance: Glance, assignment: Assignment, pours: int, typed: str, *, dark: bool) -> Head:
    match glance.step:
        case Step.READY:
            return _ready(glance)
        case Step.POURING if glance.server_full:
            return Head("STOP", Tone.ACT, sentence=words.SERVER_FULL)
        case Step.POURING:
            time = "" if glance.time_s is None else clock(glance.time_s)
            return Head("POUR", Tone.WAIT, time, "Go on as you mean to.", dark=dark)
        case Step.ASKING:
            asked = words.asked_sentence(assignment.asks, pours)
            return Head("GUESS?", Tone.ACT, typed or "-", f"{asked} Type it, then Enter.")
        case Step.WAITING:
            return Head("WAIT", Tone.WAIT, sentence="The result comes in a moment.")
        case Step.SHOWN if glance.result is not None:
            return result_head(glance.result)
        case _:
            return Head("KEPT", Tone.WAIT, sentence="No result in this pour.")


def _ready(glance: Glance) -> Head:
    frame = glance.frame
    if frame is None:
        return Head("READY", Tone.WAIT)
    lost = frame.cue.state is CueState.LOST
    weight = "" if lost else f"{round(frame.estimate.mass_g, 1) + 0.0:.1f}"
    return Head(frame.cue.word.value, TONES[frame.cue.state], weight, cue_sentence(frame))


def result_head(result: Result) -> Head:
    """The band first; outside it, one number with its sign."""
    sentence = words.result_sentence(result)
    if result.in_band is None:
        return Head("NOT SEEN", Tone.WAIT, sentence=sentence)
    worst = result.worst
    if worst is None:
        return Head("IN BAND", Tone.TARGET, sentence=sentence)
    return Head("OUT", Tone.ACT, _signed(worst), sentence)


def _signed(figure: PourFigure) -> str:
    error = figure.error
    if error is None:
        return ""
    if figure.judged.measure is PourMeasure.EVENNESS:
        return f"{100 * error:+.0f}%"
    return f"{error:+.1f}" if figure.judged.measure is PourMeasure.FLOW else f"{error:+.0f}"


def _keys(step: Step, *, kettle: bool = False, ended: bool = False) -> Keys:
    tilt = (("up", "Tilt"), ("down", "Back"), ("0", "Stop"), ("f", "Refill")) if kettle else ()
    match step:
        case Step.READY:
            return (("t", "Tare"), *tilt, ("space", "Begin"), ("esc", "Leave"), ("?", "Help"))
        case Step.POURING:
            return (("space", "Done"), *tilt, ("esc", "Leave"), ("?", "Help"))
        case Step.ASKING:
            return (("enter", "Say it"), ("esc", "Leave"), ("?", "Help"))
        case Step.WAITING:
            return (("esc", "Leave"), ("?", "Help"))
        case _:
            return (("space", "Next" if not ended else "Go on"), ("esc", "Leave"), ("?", "Help"))
