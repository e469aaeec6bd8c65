"""What to change for the next brew: one thing, by a table of rules that anybody can read."""

from dataclasses import dataclass

from pourcoach.brewing.advice.evidence import Evidence, Signals, earlier_brews, read_signals
from pourcoach.brewing.advice.move import Change, Move
from pourcoach.brewing.advice.rule import AdviceStep, Rule
from pourcoach.brewing.advice.rules import COMMON, RULES
from pourcoach.brewing.advice.search import SearchResult, search


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do next."""

    rule: Rule
    step: AdviceStep
    change: Change | None = None
    """With CHANGE and BACK always; with SETTLED where another setting than this is to be kept."""
    back: Change | None = None
    """With CHANGE: the last change, to be taken back along with it."""
    enclosed: Change | None = None
    """With SETTLED: the way to the other of the two settings that enclose the best."""


def _never(_: Signals) -> bool:
    return False


# What a rule of change comes to where earlier brews leave it nothing to change.
ENCLOSED = Rule(
    "enclosed",
    _never,
    AdviceStep.SETTLED,
    (),
    "the two settings enclose the best, and there is no step between them: keep the one that is "
    "liked better",
    COMMON,
)
USED_UP = Rule(
    "used-up",
    _never,
    AdviceStep.SETTLED,
    (),
    "what might mend this has been tried, each for itself: keep the best of these brews, and look "
    "at the coffee, its age and the water",
    COMMON,
)
MOST_BREWS = 6
"""To dial a coffee in with (common practice): more of them cost more coffee than they mend."""
ENOUGH = Rule(
    "enough",
    _never,
    AdviceStep.SETTLED,
    (),
    f"{MOST_BREWS} brews have gone into it: keep the best of them, and look at the coffee, its age "
    "and the water before another is spent",
    COMMON,
)
SETTLED_RULES = (ENCLOSED, USED_UP, ENOUGH)


def advise(evidence: Evidence) -> Advice:
    """The first rule that fits, and the move that it makes after what earlier brews have shown."""
    signals = read_signals(evidence)
    rule = next(rule for rule in RULES if rule.when(signals))
    if rule.step is AdviceStep.BACK and signals.last is not None:
        return Advice(rule, rule.step, signals.last.back)
    if rule.step is not AdviceStep.CHANGE:
        return Advice(rule, rule.step)
    if sum(1 for _ in earlier_brews(evidence)) >= MOST_BREWS - 1:
        return Advice(ENOUGH, ENOUGH.step)
    levers: tuple[Move, ...] = rule.levers
    if not levers and signals.last is not None:
        levers = (signals.last.move.back,)
    return _after_search(rule, search(levers, evidence), signals)


def _after_search(rule: Rule, found: SearchResult, signals: Signals) -> Advice:
    if found.enclosed is not None:
        keep = found.back if found.back is not None else found.change
        return Advice(ENCLOSED, AdviceStep.SETTLED, keep, enclosed=found.enclosed)
    if found.change is not None:
        return Advice(rule, AdviceStep.CHANGE, found.change, found.back)
    worse = signals.worse and signals.last is not None
    return Advice(
        USED_UP, AdviceStep.SETTLED, signals.last.back if worse and signals.last else None
    )
