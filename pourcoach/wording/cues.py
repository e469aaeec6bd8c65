"""What to do now, and what comes next."""

from pourcoach.domain.advice import Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.pour import Ending, Phase, PourState
from pourcoach.domain.units import Seconds
from pourcoach.wording.figures import clock, grams

NEWS_S: Seconds = 8.0
"""How long a plan worked out again is said to be new."""


def cue_sentence(frame: Frame) -> str:
    """The cue in force as one sentence, for plain text and screen readers."""
    state, word = frame.pour, frame.cue.word
    match word:
        case Word.READY:
            return _ready(state)
        case Word.SCALE:
            return "No reading from the scale. The brew goes on when readings come back."
        case Word.BLOOM | Word.POUR:
            return _pour(state)
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
            return _wait(state)
        case Word.DRAIN:
            return "All water is in. Let the bed drain, then lift the brewer or press Space."
        case Word.DONE:
            return _done(state)


def next_line(state: PourState) -> str:
    """The next thing to do, for the NEXT line; after a replan it says so for a while."""
    step = state.next
    line = ""
    if state.phase is Phase.READY and not state.armed:
        return "Tare: press t with the empty brewer on the scale"
    if step is None:
        return "Pour when ready" if state.phase is Phase.READY else ""
    at = "" if step.at_s is None else f" at {clock(step.at_s)}"
    match step.phase:
        case Phase.POURING:
            name = _sentence_start(step.stage or "pour")
            to = "" if step.to_g is None else f" to {step.to_g:.0f} g"
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


def _ready(state: PourState) -> str:
    if not state.armed:
        return "Something stands on the scale: tare it, or press Space to begin as it is."
    if state.stage is None:
        return "Ready: begin to pour."
    return f"Ready: pour the {state.stage.name} to {state.stage.to_g:.0f} g."


def _pour(state: PourState) -> str:
    if state.stage is None:
        return "Pouring."
    return f"Pour to {state.stage.to_g:.0f} g ({state.stage.name})."


def _off(state: PourState, what: str, side: str) -> str:
    if state.off_g is None or (state.off_g < 0) != (side == "under"):
        return f"{what}."
    return f"{what}: {grams(abs(state.off_g))} {side}."


def _wait(state: PourState) -> str:
    if state.countdown_s is None or state.stage is None:
        return "Wait."
    return f"Wait {state.countdown_s:.0f} s, then {state.stage.name} to {state.stage.to_g:.0f} g."


def _done(state: PourState) -> str:
    water = f"{state.water_g:.0f} g of water"
    if state.brew_s is None:
        return "Done: no water was poured."
    if state.ending is Ending.TAPE:
        return f"The recording ends here: {water} in {clock(state.brew_s)}."
    return f"Done: {water} in {clock(state.brew_s)}."


def _sentence_start(name: str) -> str:
    return name[:1].upper() + name[1:]
