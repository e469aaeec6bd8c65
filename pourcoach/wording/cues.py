"""What to do now, and what comes next."""

from pourcoach.coaching.flags.asked import asked_now
from pourcoach.coaching.platform.ending import LEFT_ALONE_S
from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Then
from pourcoach.domain.pour import Ending, Phase, PourState, Question
from pourcoach.domain.units import Seconds
from pourcoach.wording.figures import countdown, grams, total

NEWS_S: Seconds = 8.0
"""How long a plan worked out again is said to be new."""
TAKEN_OFF_G = -2.0
"""A weight below this: something was taken off since the tare."""
WORTH_SAYING_S: Seconds = 60.0
"""A pour overdue for longer may never come: that the brew will be closed is said then."""

THEN_WORDS = {
    Then.SWIRL: "Swirl the brewer",
    Then.STIR: "Stir",
    Then.TAP: "Tap the brewer",
    Then.LIFT_OFF: "Lift the brewer off and put it back",
}

TARE_INSTRUCTION = {
    Arrangement.BREWER_ON_SCALE: (
        "Put brewer, server, filter and coffee on the scale, then press t."
    ),
    Arrangement.SERVER_ON_SCALE: "Put the empty server on the scale, then press t.",
}
"""The one instruction to tare, the same on screen, in text and in the README."""


def cue_sentence(frame: Frame) -> str:
    """The cue in force as one sentence, for plain text and screen readers."""
    state, word = frame.pour, frame.cue.word
    match word:
        case Word.TARE:
            return _tare(frame)
        case Word.READY:
            return _ready(state)
        case Word.SCALE if state.question is not None and frame.cue.state is not CueState.LOST:
            return _question(state.question, state.rise_g or 0.0)
        case Word.SCALE:
            return "No reading from the scale. The brew goes on when readings come back."
        case Word.BLOOM | Word.POUR:
            return _pour(state)
        case Word.MORE if state.stages and state.stages[-1].end_s is not None:
            return _go_on(state)
        case Word.MORE:
            return _off(state, "Pour a little faster", "under")
        case Word.SLOW:
            return _off(state, "Pour more slowly", "over")
        case Word.STEADY:
            return "Hold the stream steady: the flow is wandering."
        case Word.STOP:
            mark_g = frame.cue.basis.get("mark_g")
            return "Stop." if mark_g is None else f"Stop: {grams(mark_g)} is reached."
        case Word.WAIT:
            return _wait(frame)
        case Word.DRAIN:
            asked = _asked(frame)
            return (
                f"All water is in. {asked}Let the bed drain, then lift the brewer or press Space."
            )
        case Word.DONE:
            return _done(state)


def next_line(state: PourState) -> str:
    """The next thing to do, for the NEXT line; after a replan it says so for a while."""
    step = state.next
    line = ""
    if state.phase is Phase.READY and not state.armed:
        return TARE_INSTRUCTION[state.arrangement].removesuffix(".")
    if step is None:
        return "Pour when ready" if state.phase is Phase.READY else ""
    at = "" if step.at_s is None else f" at {clock(step.at_s)}"
    match step.phase:
        case Phase.POURING:
            name = _sentence_start(step.stage or "pour")
            to = "" if step.to_g is None else f": to {step.to_g:.0f} g"
            line = f"{name}{to}" if state.phase is Phase.READY else f"{name}{to}{at}"
        case Phase.WAITING:
            line = f"Wait{at}"
        case Phase.DRAINING:
            line = f"Let it drain{at}"
        case Phase.DONE:
            line = "" if state.phase is Phase.DONE else f"Done{at}"
        case Phase.READY:
            line = ""
    return f"NEW PLAN: {line}" if line and _is_news(state) else line


def arrangement_sentence(state: PourState) -> str | None:
    """What to say where the readings contradict the arrangement in use; None where they do not."""
    match state.looks_like:
        case Arrangement.BREWER_ON_SCALE:
            return (
                "More water is on the scale than can have dripped: if the brewer stands on it too,"
                " choose brewer-on-scale."
            )
        case Arrangement.SERVER_ON_SCALE:
            return (
                "The weight rises long and slowly, like a drip: if only the server stands on the"
                " scale, choose server-on-scale."
            )
        case _:
            return None


def _is_news(state: PourState) -> bool:
    if state.replanned_s is None or state.brew_start_s is None or state.brew_s is None:
        return False
    return state.brew_s - (state.replanned_s - state.brew_start_s) < NEWS_S


def _tare(frame: Frame) -> str:
    state = frame.pour
    if frame.weight_g < TAKEN_OFF_G:
        return "Something was taken off since the tare: put it back, or press t."
    instruction = TARE_INSTRUCTION[state.arrangement]
    if state.plan is not None and state.plan.ice_g:
        instruction = f"{state.plan.ice_g:.0f} g of ice go into the server. {instruction}"
    if state.rise_g is None:
        return instruction
    return f"{grams(state.rise_g)} came in since. {instruction}"


def _question(question: Question, rise_g: float) -> str:
    came = f"{grams(rise_g)} came in"
    match question:
        case Question.COFFEE:
            return f"{came}, as much as the coffee. Was it coffee? Press t. Was it water? Pour on."
        case Question.LIFTED:
            return f"{grams(rise_g)} were taken off. Is it the brewer? Put it back. If not, go on."
        case Question.LIFT_OR_TARE:
            return (
                f"The weight fell by {grams(rise_g)}. Is the brewer off? Put it back."
                " Was the scale zeroed? Press t."
            )
        case Question.GAIN:
            return (
                f"{grams(rise_g)} came at once and are not counted. Was it water? Space counts it."
            )
        case Question.LOST:
            return (
                f"The weight fell back by {grams(rise_g)}, which count no more."
                " Was it water? Space counts it."
            )
        case Question.HAND:
            return f"{came} and went at once. A hand? Press t. Water? Go on."
        case Question.UNTARED_WATER:
            return f"{came} before a tare. Was it water? Space counts it. If not, press t."


def _ready(state: PourState) -> str:
    if state.stage is None:
        return "Ready: begin to pour."
    return f"Ready: pour to {state.stage.to_g:.0f} g ({state.stage.name})."


def _pour(state: PourState) -> str:
    if state.stage is None:
        return "Pouring."
    mark = f"{state.stage.to_g:.0f} g ({state.stage.name})"
    if state.overdue_s is None:
        return f"Pour to {mark}."
    late = f"{clock(state.overdue_s)} late: pour to {mark}, or press Space twice to end."
    if state.overdue_s < WORTH_SAYING_S or state.brew_s is None:
        return late
    closes = clock(state.brew_s - state.overdue_s + LEFT_ALONE_S)
    return f"{late} Left alone, the brew closes at {closes}."


def _go_on(state: PourState) -> str:
    if state.stage is None:
        return "Go on."
    left_g = state.stage.to_g - state.water_g
    return f"Go on to {state.stage.to_g:.0f} g: {grams(left_g)} still to come."


def _off(state: PourState, what: str, side: str) -> str:
    if state.off_g is None or (state.off_g < 0) != (side == "under"):
        return f"{what}."
    return f"{what}: {grams(abs(state.off_g))} {side}."


def _wait(frame: Frame) -> str:
    state = frame.pour
    if state.countdown_s is None or state.stage is None:
        return "Wait."
    mark = f"{state.stage.to_g:.0f} g ({state.stage.name})"
    left_s = countdown(state.countdown_s)
    if frame.cue.state is CueState.DUE:
        return f"Too early: stop, and wait {left_s} s."
    return f"{_asked(frame)}Wait {left_s} s. Then pour to {mark}."


def _asked(frame: Frame) -> str:
    """What the plan asks to be done now, as a sentence; empty where nothing."""
    then = asked_now(frame.pour, frame.t_s)
    return "" if then is None else f"{THEN_WORDS[then]}. "


def _done(state: PourState) -> str:
    if state.brew_s is None:
        return "Done: no water was poured."
    what = f"{total(state.water_g)} of water in {clock(state.brew_s)}."
    if state.plan is not None and state.plan.bypass_g:
        what += f" Now add {state.plan.bypass_g:.0f} g of water to the cup."
    match state.ending:
        case Ending.TAPE:
            return f"The recording ends here: {what}"
        case Ending.LEFT:
            dripped = state.arrangement is Arrangement.SERVER_ON_SCALE
            missed = "nothing dripped" if dripped else "nobody poured"
            return f"Closed, since {missed} for {clock(LEFT_ALONE_S)}: {what}"
        case _:
            return f"Done: {what}"


def _sentence_start(name: str) -> str:
    return name[:1].upper() + name[1:]
