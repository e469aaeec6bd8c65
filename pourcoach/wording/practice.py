"""Sentences of practice: what is judged and how it went."""

from datetime import datetime

from pourcoach.practice.block.result import PourFigure, Result
from pourcoach.practice.block.summary import Summary
from pourcoach.practice.course import DueTest
from pourcoach.practice.drill.drill import Drill
from pourcoach.practice.drill.measure import UNITS, Asked, Judged, PourMeasure
from pourcoach.practice.schedule import Part, Place

_NOUNS = {
    PourMeasure.LANDING: "the mark at the end",
    PourMeasure.MASS: "the water",
    PourMeasure.FLOW: "the flow",
    PourMeasure.EVENNESS: "how even the flow is",
    PourMeasure.DURATION: "how long",
    PourMeasure.START: "the start",
    PourMeasure.REST: "the rest",
    PourMeasure.LIKENESS: "how alike the pours are",
}


def judged_noun(judged: Judged, pours: int) -> str:
    """What is judged, as "the flow of pour 2"; the pour is left out where there is one alone."""
    noun = _NOUNS[judged.measure]
    if judged.pour is None or pours == 1:
        return noun
    if judged.measure is PourMeasure.REST:
        return f"{noun} before pour {judged.pour}"
    return f"{noun} of pour {judged.pour}"


def judged_sentence(judged: Judged, pours: int) -> str:
    """What is judged with its band, as "the flow of pour 2 within 10 %"."""
    noun = judged_noun(judged, pours)
    match judged.measure:
        case PourMeasure.FLOW:
            return f"{noun} within {100 * judged.band:.0f} %"
        case PourMeasure.EVENNESS:
            return f"{noun}: wandering by {100 * judged.band:.0f} % at most"
        case PourMeasure.DURATION | PourMeasure.START | PourMeasure.REST:
            return f"{noun} within {judged.band:g} s"
        case _:
            return f"{noun} within {judged.band:g} g"


def judged_sentences(drill: Drill) -> list[str]:
    """All that a drill judges, the figure that is reported first."""
    return [judged_sentence(each, len(drill.pours)) for each in drill.judged]


def place_words(place: Place) -> str:
    """Where a pour stands in its schedule."""
    pour = f"pour {place.pour} of {place.of}"
    match place.part:
        case Part.BASELINE:
            return "First pour, without help or result: this is where you start from"
        case Part.TEST:
            return f"Test after a day, {pour}: without help or result"
        case Part.WEEK_TEST:
            return f"Test after a week, {pour}: without help or result"
        case Part.TRANSFER_TEST:
            return (
                f"Transfer test, {pour}: without help or result; use another kettle if there is one"
            )
        case Part.ASSIST:
            return "Assist: all help, and no figure of skill"
        case _:
            help_words = "with live help" if place.live_help else "without live help"
            return f"Block {place.block}, {pour}, {help_words}"


def asked_sentence(asks: Asked, pours: int) -> str:
    """What the student is asked before the result."""
    of = "" if asks.pour is None or pours == 1 else f" in pour {asks.pour}"
    if asks.measure is PourMeasure.FLOW:
        return f"How fast did you pour{of}, in g/s? Say what you think before you see it."
    return f"How many grams did you pour{of}? Say what you think before you see it."


def result_sentence(result: Result) -> str:
    """The band first; outside it, one number with its sign."""
    if result.in_band is None:
        return "This pour could not be judged."
    worst = result.worst
    if worst is None:
        return "In band."
    return f"Out of band: {outside_words(worst)}."


def outside_words(figure: PourFigure) -> str:
    """How far a figure is off, as one number with its sign."""
    error, pour = figure.error, figure.judged.pour
    if error is None:
        return "not every pour that was asked for was made"
    of = "" if pour is None else f" of pour {pour}"
    match figure.judged.measure:
        case PourMeasure.LANDING:
            return f"{error:+.0f} g beside the mark"
        case PourMeasure.MASS:
            return f"{error:+.0f} g of water" + ("" if pour is None else f" in pour {pour}")
        case PourMeasure.FLOW:
            return f"{error:+.1f} g/s in the flow{of}"
        case PourMeasure.EVENNESS:
            return f"{100 * error:+.0f} % of wandering in the flow"
        case PourMeasure.DURATION:
            return f"{error:+.0f} s in the length{of}"
        case PourMeasure.START:
            return f"{error:+.0f} s in the start{of}"
        case PourMeasure.REST:
            return f"{error:+.0f} s in a rest"
        case PourMeasure.LIKENESS:
            return f"{error:+.0f} g between a pour and the mean of all"


def measured(value: float, measure: PourMeasure, *, sign: bool = True) -> str:
    """A figure with its unit."""
    plus = "+" if sign else ""
    if measure is PourMeasure.EVENNESS:
        return f"{100 * value:{plus}.0f} %"
    digits = 2 if measure is PourMeasure.FLOW else 1
    return f"{value:{plus}.{digits}f} {UNITS[measure]}"


def summary_sentence(found: Summary, lead: PourMeasure, asks: PourMeasure) -> str:
    """Bias and spread apart, and how the student's own estimates lie."""
    parts = [f"{found.in_band} of {found.judged} in band"]
    if found.bias is not None:
        parts.append(f"bias {measured(found.bias, lead)}")
    if found.spread is not None:
        parts.append(f"spread {measured(found.spread, lead, sign=False)}")
    if found.estimate_bias is not None:
        parts.append(f"your estimates {measured(found.estimate_bias, asks)} beside the truth")
    return f"Of {found.pours} pours " + ", ".join(parts) + "."


def due_sentence(due: DueTest, now: datetime) -> str:
    """When the next test may be made."""
    if due.at <= now:
        return f"The {_test_name(due.part)} can be made now."
    return (
        f"The {_test_name(due.part)} can be made from {_moment(due, now)} on, if nothing is"
        " practised before it."
    )


def due_words(due: DueTest, now: datetime) -> str:
    """The same in a few words."""
    return f"{_test_name(due.part)} " + ("now" if due.at <= now else f"from {_moment(due, now)}")


def _test_name(part: Part) -> str:
    return {Part.WEEK_TEST: "test after a week", Part.TRANSFER_TEST: "transfer test"}.get(
        part, "test"
    )


def _moment(due: DueTest, now: datetime) -> str:
    return due.at.astimezone(now.tzinfo).strftime("%Y-%m-%d %H:%M")


SERVER_FULL = "Stop: the server is nearly full."
WATER_CAUTION = (
    "Cold water will do. If you use hot water, it scalds: keep hands and sleeves clear of the "
    "stream, and empty a hot server with care."
)
SCHEDULE_CAUTION = (
    "The schedule follows studies of other movements; none of pouring was found, and how much "
    "fewer results help is contested. Your own tests decide."
)
