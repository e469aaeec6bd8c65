"""What to change next, as figures and as lines of text."""

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from pourcoach.brewing.advice.dialling_in import SETTLED_RULES, Advice
from pourcoach.brewing.advice.evidence import Evidence, earlier_brews
from pourcoach.brewing.advice.move import NOTHING, Change, Variable
from pourcoach.brewing.advice.rule import AdviceStep, Rule
from pourcoach.brewing.advice.rules import RULES
from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.temperature.scald import scald_caution
from pourcoach.domain.brew_clock import clock
from pourcoach.wording import flag_title

WIDTH = 96


def advice_figures(evidence: Evidence, advice: Advice) -> dict[str, Any]:
    """The figures of ``--json``."""
    change, move = advice.change, None if advice.change is None else advice.change.move
    return {
        "step": advice.step.name.lower(),
        "variable": None if move is None else move.variable.value,
        "move": None if move is None else move.value,
        "change": None if change is None else change.name,
        "steps": None if change is None else change.steps,
        "back": None if advice.back is None else advice.back.name,
        "encloses": None if advice.enclosed is None else advice.enclosed.name,
        "how": None if change is None else change.how,
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

    lines = [line for text in _instructions(advice) for line in wrapped(text)]
    lines += wrapped(advice.rule.why)
    if advice.step in (AdviceStep.POUR, AdviceStep.KEEP) and evidence.faults:
        lines += wrapped(_faults(evidence))
    if advice.step is AdviceStep.CHANGE:
        lines += wrapped("change nothing else, brew again, and taste the two side by side")
    caution = _caution(evidence, advice)
    if caution is not None:
        lines += wrapped(caution)
    if why:
        lines += ["", "rests on:", *(f"- {line}" for line in evidence_lines(evidence))]
        lines += [f"rule: {advice.rule.name}", f"source: {advice.rule.source}"]
    return [_heading(advice), *lines]


def _heading(advice: Advice) -> str:
    heading: str = advice.step.value.upper()
    if advice.step is not AdviceStep.CHANGE or advice.change is None:
        return heading
    return f"{heading}: {advice.change.move.variable.value}"


def _instructions(advice: Advice) -> list[str]:
    """What to do, a sentence each."""
    change = advice.change
    parts = []
    if advice.step is AdviceStep.CHANGE and change is not None:
        if advice.back is not None:
            parts.append(f"take the last change back ({advice.back.how}), and from there")
        parts += [change.how, f"it should give {change.move.should}"]
    elif change is not None:
        parts.append(f"{change.how}, and keep that")
    elif advice.enclosed is not None:
        parts.append(f"keep this one, or the other: {advice.enclosed.how}")
    return parts


def rule_lines() -> list[str]:
    """The whole table, in the order in which it is asked."""
    lines = []
    for number, rule in enumerate(RULES, 1):
        lines += [f"{number:2}  {rule.name}", *_about(rule)]
    lines += ["", "where a rule's changes are used up:"]
    for rule in SETTLED_RULES:
        lines += [f"    {rule.name}", *_about(rule)]
    return lines


def _about(rule: Rule) -> list[str]:
    if rule.step is not AdviceStep.CHANGE:
        does = [rule.step.value]
    elif not rule.levers:
        does = ["half of the last change back"]
    else:
        first, *others = (Change(move).how for move in rule.levers)
        does = [first, *(f"or where that was no help: {how}" for how in others)]
    return [
        line
        for text in (*does, rule.why, f"source: {rule.source}")
        for line in wrap(text, WIDTH, initial_indent="    ", subsequent_indent="      ")
    ]


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
    if evidence.changed is not None:
        lines.append(f"changed against the brew before: {_changes(evidence)}")
    if evidence.worse:
        lines.append("found worse than the brew before")
    lines += _earlier_lines(evidence)
    return lines or ["nothing is known of it"]


def _earlier_lines(evidence: Evidence) -> list[str]:
    """The brews that the advice remembers, newest first."""
    brews = [brew for _, brew in earlier_brews(evidence) if brew != Evidence()]
    return [f"{number} before: " + "; ".join(_seen(brew)) for number, brew in enumerate(brews, 1)]


def _seen(brew: Evidence) -> list[str]:
    seen = []
    if brew.tastes:
        seen.append("tasted " + ", ".join(sorted(one.value for one in brew.tastes)))
    if brew.extraction_pct is not None:
        seen.append(f"extraction {_percent(brew.extraction_pct)}")
    if brew.changed is not None:
        seen.append(f"changed: {_changes(brew)}")
    if brew.worse:
        seen.append("found worse")
    return seen or ["nothing is known of its cup"]


def _changes(evidence: Evidence) -> str:
    return ", ".join(one.name for one in evidence.changed or ()) or NOTHING


def _faults(evidence: Evidence) -> str:
    titles = sorted(flag_title(kind).lower() for kind in evidence.faults)
    return "noted in the pour: " + ", ".join(titles)


def _percent(measured: Measured) -> str:
    return f"{measured.value:.2f} ± {measured.error:.2f} %"


def _caution(evidence: Evidence, advice: Advice) -> str | None:
    """Where the change is about hot water, or its height, say what that water does."""
    move = None if advice.change is None else advice.change.move
    if move is None or move.variable not in (Variable.TEMPERATURE, Variable.TURBULENCE):
        return None
    return scald_caution(94.0 if evidence.temperature_c is None else evidence.temperature_c)
