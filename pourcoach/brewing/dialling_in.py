"""What to change for the next brew: one thing, by a table of rules that anybody can read.

The first rule that fits is the advice. What a pour fault or a doubtful measurement cannot carry
stands before any change of grind, ratio or heat.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from pourcoach.brewing.evidence import Evidence, Signals, read_signals
from pourcoach.brewing.move import Move


class Step(Enum):
    """What kind of thing to do next."""

    POUR = "mend the pour first"
    WATER = "mend the water first"
    MEASURE = "taste or measure first"
    REPEAT = "repeat, changing one thing"
    CHANGE = "change one thing"
    KEEP = "keep it as it is"


@dataclass(frozen=True, slots=True)
class Rule:
    """One row of the table."""

    name: str
    when: Callable[[Signals], bool]
    step: Step
    move: Move | None
    """With CHANGE, unless the move is the last one taken back."""
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do next."""

    rule: Rule
    step: Step
    move: Move | None
    """None with every step but CHANGE."""


COMMON = "common practice"
_BATALI = "Batali, Ristenpart & Guinard 2020: no taste difference by 87-93 °C itself; " + COMMON
_FROST = "0.24 % is tasted (Frost, Ristenpart & Guinard 2019); " + COMMON
_CHART = "classic control chart (Lockhart 1957, from memory): ratio moves strength most"

RULES: tuple[Rule, ...] = (
    Rule(
        "untested-water",
        lambda s: s.untested_water,
        Step.WATER,
        None,
        "this water has not been found fit to drink; nothing is brewed with it",
        "local health authority",
    ),
    Rule(
        "pour-first",
        lambda s: s.pour_faulty,
        Step.POUR,
        None,
        "the pour had faults, and a grind or a temperature judged through them is judged wrong",
        COMMON,
    ),
    Rule(
        "one-at-a-time",
        lambda s: s.several_changed,
        Step.REPEAT,
        None,
        "several things were changed at once, so nobody can say which of them did it",
        COMMON,
    ),
    Rule(
        "go-back",
        lambda s: s.worse and s.last is not None,
        Step.CHANGE,
        None,
        "the last change made it worse: take it back before anything else is tried",
        COMMON,
    ),
    Rule(
        "dull-water",
        lambda s: s.dull and s.water_off,
        Step.WATER,
        None,
        "it tastes flat or salty and the water misses its targets: no grind mends that",
        "SCAA water standard; " + COMMON,
    ),
    Rule(
        "contrary",
        lambda s: s.contrary,
        Step.MEASURE,
        None,
        "taste and extraction say opposite things: stir, cool and measure the cup again, and "
        "taste it beside another",
        COMMON,
    ),
    Rule(
        "balanced",
        lambda s: s.balanced,
        Step.KEEP,
        None,
        "it tastes balanced, and taste decides: the classic box is a convention, not a goal",
        COMMON,
    ),
    Rule(
        "sour-and-bitter",
        lambda s: s.sour_and_bitter,
        Step.CHANGE,
        Move.CALMER,
        "sour and bitter together suggest that one part of the bed gave too much and another "
        "too little; the scale cannot see that",
        COMMON,
    ),
    Rule(
        "strong-yet-under",
        lambda s: s.strong and s.under,
        Step.CHANGE,
        Move.MORE_WATER,
        "the cup is strong though the coffee gave little: more water takes more out and thins it",
        _CHART,
    ),
    Rule(
        "weak-yet-over",
        lambda s: s.weak and s.over,
        Step.CHANGE,
        Move.LESS_WATER,
        "the cup is weak though the coffee gave too much: less water takes less out",
        _CHART,
    ),
    Rule(
        "under-and-cool",
        lambda s: s.under and s.cool,
        Step.CHANGE,
        Move.HOTTER,
        "too little came out, and the water was cooler than is known to do no harm",
        _BATALI,
    ),
    Rule(
        "over-and-hot",
        lambda s: s.over and s.hot,
        Step.CHANGE,
        Move.COOLER,
        "too much came out, and the water was hotter than is usual",
        _BATALI,
    ),
    Rule(
        "under-and-fast-though-finer",
        lambda s: s.under and s.fast and s.last is Move.FINER,
        Step.CHANGE,
        Move.LOWER_LEVEL,
        "it still ran through too fast after a finer grind: less standing water pushes less",
        "Darcy's law: flow goes with the head of water; " + COMMON,
    ),
    Rule(
        "under-and-slow",
        lambda s: s.under and s.slow,
        Step.CHANGE,
        Move.LIVELIER,
        "too little came out though it ran slowly: finer would choke it, so mix the bed better",
        "the falling stream mixes the bed (Park, Young & Mathijssen 2025); " + COMMON,
    ),
    Rule(
        "under-though-finer",
        lambda s: s.under and not s.fast and s.last is Move.FINER,
        Step.CHANGE,
        Move.LONGER,
        "a finer grind was not enough: give it more time",
        COMMON,
    ),
    Rule(
        "under",
        lambda s: s.under,
        Step.CHANGE,
        Move.FINER,
        "too little came out of the coffee",
        COMMON,
    ),
    Rule(
        "over-and-fast",
        lambda s: s.over and s.fast,
        Step.CHANGE,
        Move.CALMER,
        "too much came out though it ran fast: coarser would run faster still",
        COMMON,
    ),
    Rule(
        "over-though-coarser",
        lambda s: s.over and not s.slow and s.last is Move.COARSER,
        Step.CHANGE,
        Move.SHORTER,
        "a coarser grind was not enough: give it less time",
        COMMON,
    ),
    Rule(
        "over-and-slow-though-coarser",
        lambda s: s.over and s.slow and s.last is Move.COARSER,
        Step.CHANGE,
        Move.HIGHER_LEVEL,
        "it still ran slowly after a coarser grind: more standing water pushes more",
        "Darcy's law: flow goes with the head of water; " + COMMON,
    ),
    Rule(
        "over",
        lambda s: s.over,
        Step.CHANGE,
        Move.COARSER,
        "too much came out of the coffee",
        COMMON,
    ),
    Rule(
        "drying",
        lambda s: s.drying,
        Step.CHANGE,
        Move.CALMER,
        "a drying cup suggests that water found paths of its own and washed them out",
        COMMON,
    ),
    Rule(
        "weak",
        lambda s: s.weak,
        Step.CHANGE,
        Move.LESS_WATER,
        "the cup is weaker than wanted by more than is hard to taste, and extraction is no fault",
        _FROST,
    ),
    Rule(
        "strong",
        lambda s: s.strong,
        Step.CHANGE,
        Move.MORE_WATER,
        "the cup is stronger than wanted by more than is hard to taste, and extraction is no fault",
        _FROST,
    ),
    Rule(
        "flat-water-unknown",
        lambda s: s.dull,
        Step.WATER,
        None,
        "it tastes flat or salty, which grind and ratio do not explain: check the water, and how "
        "old the coffee is",
        COMMON,
    ),
    Rule(
        "slow",
        lambda s: s.slow and not s.tasted and not s.measured,
        Step.CHANGE,
        Move.COARSER,
        "all that is known is that the bed drained much later than planned",
        COMMON,
    ),
    Rule(
        "fast",
        lambda s: s.fast and not s.tasted and not s.measured,
        Step.MEASURE,
        None,
        "it was over much sooner than planned, which may be the grind or a dripper lifted early: "
        "taste it before anything is changed",
        COMMON,
    ),
    Rule(
        "nothing-known",
        lambda s: not s.tasted and not s.measured,
        Step.MEASURE,
        None,
        "nothing is known of the cup: taste it, or measure its strength",
        COMMON,
    ),
    Rule(
        "within-errors",
        lambda _: True,
        Step.KEEP,
        None,
        "what was measured lies within its error, or within what can be tasted, of the aim: it "
        "carries no change",
        _FROST,
    ),
)


def advise(evidence: Evidence) -> Advice:
    """The first rule that fits, and the move it makes."""
    signals = read_signals(evidence)
    rule = next(rule for rule in RULES if rule.when(signals))
    move = rule.move
    if rule.step is Step.CHANGE and move is None and signals.last is not None:
        move = signals.last.back
    return Advice(rule, rule.step, move)
