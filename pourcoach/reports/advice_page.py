"""What to change next, as figures and as lines of text."""

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from pourcoach.brewing.dialling_in import RULES, Advice, Step
from pourcoach.brewing.evidence import Evidence
from pourcoach.brewing.measured import Measured
from pourcoach.brewing.move import Variable
from pourcoach.brewing.scald import scald_caution
from pourcoach.wording import flag_title
from pourcoach.wording.figures import clock

WIDTH = 96


def advice_figures(evidence: Evidence, advice: Advice) -> dict[str, Any]:
    """The figures of ``--json``."""
    move = advice.move
    return {
        "step": advice.step.name.lower(),
        "variable": None if move is None else move.variable.value,
        "move": None if move is None else move.value,
        "how": None if move is None else move.how,
        "should": None if move is None else move.should,
        "rule": advice.rule.name,
        "why": advice.rule.why,
        "source": advice.rule.source,
        "evidence": list(evidence_lines(evidence)),
    }


def advice_lines(
    evidence: Evidence, advice: Advice, *, why: bool = False, width: int = WIDTH
) -> list[str]:
    """The advice as a page of so many columns."""

    def wrapped(text: str) -> list[str]:
        return wrap(text, width, initial_indent="  ", subsequent_indent="  ")

    move = advice.move
    if move is None:
        lines = [advice.step.value.upper()]
    else:
        lines = [f"{advice.step.value.upper()}: {move.variable.value}", *wrapped(move.how)]
        lines += wrapped(f"it should give {move.should}")
    lines += wrapped(advice.rule.why)
    if advice.step is Step.POUR and evidence.faults:
        lines += wrapped(_faults(evidence))
    if advice.step is Step.CHANGE:
        lines += wrapped("change nothing else, brew again, and taste the two side by side")
        caution = _caution(evidence, advice)
        if caution is not None:
            lines += wrapped(caution)
    if why:
        lines += ["", "rests on:", *(f"- {line}" for line in evidence_lines(evidence))]
        lines += [f"rule: {advice.rule.name}", f"source: {advice.rule.source}"]
    return lines


def rule_lines() -> list[str]:
    """The whole table, in the order in which it is asked."""
    lines = []
    for number, rule in enumerate(RULES, 1):
        does = rule.step.value if rule.move is None else rule.move.how
        lines.append(f"{number:2}  {rule.name}: {does}")
        for text in (rule.why, f"source: {rule.source}"):
            lines += wrap(text, WIDTH, initial_indent="    ", subsequent_indent="    ")
    return lines


def evidence_lines(evidence: Evidence) -> Sequence[str]:
    """What is known, a line each; one line where nothing is."""
    lines = []
    if evidence.brew_s is not None:
        planned = "" if evidence.planned_s is None else f", planned {clock(evidence.planned_s)}"
        lines.append(f"drained after {clock(evidence.brew_s)}{planned}")
    if evidence.faults:
        lines.append(_faults(evidence))
    for noun, measured in (
        ("strength", evidence.strength_pct),
        ("extraction", evidence.extraction_pct),
    ):
        if measured is not None:
            lines.append(f"{noun} {_percent(measured)}")
    if evidence.strength_pct is not None:
        lines.append(f"strength wanted {evidence.aim_strength_pct:.2f} %")
    if evidence.tastes:
        lines.append("tastes " + ", ".join(sorted(one.value for one in evidence.tastes)))
    if evidence.temperature_c is not None:
        lines.append(f"brewed at {evidence.temperature_c:.3g} °C")
    if evidence.water is not None:
        lines.append(f"water: {evidence.water.value}")
    if evidence.changed:
        lines.append("changed before: " + ", ".join(move.value for move in evidence.changed))
    if evidence.worse:
        lines.append("found worse than the brew before")
    return lines or ["nothing is known of it"]


def _faults(evidence: Evidence) -> str:
    titles = sorted(flag_title(kind).lower() for kind in evidence.faults)
    return "noted in the pour: " + ", ".join(titles)


def _percent(measured: Measured) -> str:
    return f"{measured.value:.2f} ± {measured.error:.2f} %"


def _caution(evidence: Evidence, advice: Advice) -> str | None:
    """Where the change is about hot water, or its height, say what that water does."""
    move = advice.move
    if move is None or move.variable not in (Variable.TEMPERATURE, Variable.TURBULENCE):
        return None
    return scald_caution(94.0 if evidence.temperature_c is None else evidence.temperature_c)
