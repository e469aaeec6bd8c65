"""The table of rules for dialling in: the first that fits is the advice.

What a balanced taste settles, and what a pour's fault or a doubtful measurement cannot carry,
stands before any change of grind, ratio or heat.
"""

from pourcoach.brewing.advice.move import Move
from pourcoach.brewing.advice.rule import AdviceStep, Rule

COMMON = "common practice"
_BATALI = (
    "Batali, Ristenpart & Guinard 2020: 87, 90 and 93 °C tasted alike at the same strength and "
    "extraction, so heat matters by what it extracts; " + COMMON
)
_FROST = "difference threshold estimated at 0.24 % (Frost, Ristenpart & Guinard 2019); " + COMMON
_CHART = "classic control chart (Lockhart 1957, from memory): ratio moves strength most"
_DARCY = "Darcy's law: flow goes with the head of water; " + COMMON

_MORE = (Move.FINER, Move.LONGER, Move.HOTTER)
_LESS = (Move.COARSER, Move.SHORTER, Move.COOLER)

RULES: tuple[Rule, ...] = (
    Rule(
        "untested-water",
        lambda s: s.untested_water,
        AdviceStep.WATER,
        (),
        "this water has not been found fit to drink; nothing is brewed with it",
        "local health authority",
    ),
    Rule(
        "balanced-yet-worse",
        lambda s: s.balanced and s.said_worse and s.last is not None,
        AdviceStep.BACK,
        (),
        "it tastes balanced, yet the brew before was liked better: go back to that, and keep it",
        COMMON,
    ),
    Rule(
        "balanced-despite-the-pour",
        lambda s: s.balanced and s.pour_faulty,
        AdviceStep.KEEP,
        (),
        "it tastes balanced, so the recipe stands; the pour had faults, and until they are gone "
        "the next cup may differ",
        COMMON,
    ),
    Rule(
        "balanced",
        lambda s: s.balanced,
        AdviceStep.KEEP,
        (),
        "it tastes balanced, and taste decides: the classic box is a convention, not a goal",
        COMMON,
    ),
    Rule(
        "pour-first",
        lambda s: s.pour_faulty,
        AdviceStep.POUR,
        (),
        "the pour had faults, and a grind or a temperature judged through them is judged wrong",
        COMMON,
    ),
    Rule(
        "one-at-a-time",
        lambda s: s.several_changed,
        AdviceStep.REPEAT,
        (),
        "several things were changed at once, so nobody can say which of them did it",
        COMMON,
    ),
    Rule(
        "was-balanced",
        lambda s: s.was_balanced and s.tasted and s.last is not None,
        AdviceStep.BACK,
        (),
        "the brew before tasted balanced and this one does not: go back to that, and keep it",
        COMMON,
    ),
    Rule(
        "dull-water",
        lambda s: s.dull and s.water_off,
        AdviceStep.WATER,
        (),
        "it tastes flat or salty and the water misses its targets: no grind mends that",
        "SCAA water standard; " + COMMON,
    ),
    Rule(
        "contrary",
        lambda s: s.contrary,
        AdviceStep.MEASURE,
        (),
        "taste and extraction say opposite things: stir, cool and measure the cup again, and "
        "taste it beside another",
        COMMON,
    ),
    Rule(
        "uneven",
        lambda s: s.uneven,
        AdviceStep.CHANGE,
        (Move.LESS_TURBULENCE, Move.COARSER),
        "both ends at once suggest an uneven bed: one part gave too much and another too little; "
        "the scale cannot see that",
        COMMON,
    ),
    Rule(
        "strong-yet-under",
        lambda s: s.strong and s.under,
        AdviceStep.CHANGE,
        (Move.MORE_WATER, Move.HOTTER),
        "the cup is strong though the coffee gave little: more water takes more out and thins it",
        _CHART,
    ),
    Rule(
        "weak-yet-over",
        lambda s: s.weak and s.over,
        AdviceStep.CHANGE,
        (Move.LESS_WATER, Move.COARSER),
        "the cup is weak though the coffee gave too much: less water takes less out",
        _CHART,
    ),
    Rule(
        "under-and-cool",
        lambda s: s.under and s.cool,
        AdviceStep.CHANGE,
        (Move.HOTTER, Move.FINER, Move.LONGER),
        "too little came out, and the water was cooler than is known to do no harm",
        _BATALI,
    ),
    Rule(
        "over-and-hot",
        lambda s: s.over and s.hot,
        AdviceStep.CHANGE,
        (Move.COOLER, Move.COARSER, Move.SHORTER),
        "too much came out, and the water was hotter than is usual",
        _BATALI,
    ),
    Rule(
        "under-and-slow",
        lambda s: s.under and s.slow,
        AdviceStep.CHANGE,
        (Move.LESS_TURBULENCE, Move.COARSER, Move.HOTTER),
        "too little came out though it ran slowly: the bed may be clogged with fines; finer or "
        "a higher pour would clog it further, a lower pour washes fewer of them down",
        COMMON,
    ),
    Rule(
        "under-and-fast",
        lambda s: s.under and s.fast,
        AdviceStep.CHANGE,
        (Move.FINER, Move.LOWER_LEVEL, Move.MORE_TURBULENCE),
        "too little came out, and it ran through fast: finer slows it, and so does less standing "
        "water",
        _DARCY,
    ),
    Rule(
        "under",
        lambda s: s.under,
        AdviceStep.CHANGE,
        _MORE,
        "too little came out of the coffee",
        COMMON,
    ),
    Rule(
        "over-and-fast",
        lambda s: s.over and s.fast,
        AdviceStep.CHANGE,
        (Move.LESS_TURBULENCE, Move.COOLER),
        "too much came out though it ran fast: coarser would run faster still",
        COMMON,
    ),
    Rule(
        "over-and-slow",
        lambda s: s.over and s.slow,
        AdviceStep.CHANGE,
        (Move.COARSER, Move.HIGHER_LEVEL, Move.COOLER),
        "too much came out, and it ran slowly: coarser quickens it, and so does more standing "
        "water",
        _DARCY,
    ),
    Rule(
        "over",
        lambda s: s.over,
        AdviceStep.CHANGE,
        _LESS,
        "too much came out of the coffee",
        COMMON,
    ),
    Rule(
        "drying",
        lambda s: s.drying,
        AdviceStep.CHANGE,
        (Move.LESS_TURBULENCE, Move.COARSER),
        "a drying cup suggests that water found paths of its own and washed them out",
        COMMON,
    ),
    Rule(
        "weak-and-fast",
        lambda s: s.weak and s.fast and not s.extraction_known,
        AdviceStep.CHANGE,
        (Move.FINER, Move.LOWER_LEVEL),
        "the cup is weak and the water ran through fast: most likely too little was dissolved",
        COMMON,
    ),
    Rule(
        "slow-strength",
        lambda s: (s.weak or s.strong) and s.slow and not s.extraction_known,
        AdviceStep.CHANGE,
        (Move.COARSER, Move.HIGHER_LEVEL),
        "the strength is off and the bed drained slowly: let it run as planned before the ratio "
        "is judged; too fine a grind gives a strong cup, or a weak one from a clogged bed",
        COMMON,
    ),
    Rule(
        "strength-of-two-causes",
        lambda s: (s.weak or s.strong) and not s.extraction_known,
        AdviceStep.MEASURE,
        (),
        "a weak or a strong cup can be two things, what was dissolved or how much water it is in: "
        "say if it is sour or bitter, or measure the strength and weigh the coffee in the server",
        _CHART + "; " + COMMON,
    ),
    Rule(
        "weak",
        lambda s: s.weak,
        AdviceStep.CHANGE,
        (Move.LESS_WATER,),
        "the cup is weaker than wanted by more than is hard to taste, and extraction is no fault",
        _FROST,
    ),
    Rule(
        "strong",
        lambda s: s.strong,
        AdviceStep.CHANGE,
        (Move.MORE_WATER,),
        "the cup is stronger than wanted by more than is hard to taste, and extraction is no fault",
        _FROST,
    ),
    Rule(
        "dull-water-unknown",
        lambda s: s.dull and not s.water_known,
        AdviceStep.WATER,
        (),
        "it tastes flat or salty, which grind and ratio do not explain: check the water, and how "
        "old the coffee is",
        COMMON,
    ),
    Rule(
        "dull-though-the-water-is-good",
        lambda s: s.dull,
        AdviceStep.MEASURE,
        (),
        "it tastes flat though the water is near its targets: look at how old the coffee is, and "
        "measure what was extracted before anything is changed",
        COMMON,
    ),
    Rule(
        "worse",
        lambda s: s.worse and s.last is not None,
        AdviceStep.CHANGE,
        (),
        "all that is known is that the last change made it worse: half of it back lies between "
        "the two",
        COMMON,
    ),
    Rule(
        "slow",
        lambda s: s.slow and not s.tasted and not s.measured,
        AdviceStep.MEASURE,
        (),
        "all that is known is that the bed drained much later than planned: taste it before "
        "anything is changed",
        COMMON,
    ),
    Rule(
        "fast",
        lambda s: s.fast and not s.tasted and not s.measured,
        AdviceStep.MEASURE,
        (),
        "it was over much sooner than planned, which may be the grind or a dripper lifted early: "
        "taste it before anything is changed",
        COMMON,
    ),
    Rule(
        "taste-first",
        lambda s: not s.tasted and not s.measured,
        AdviceStep.MEASURE,
        (),
        "nothing is known of the cup: taste it, or measure its strength",
        COMMON,
    ),
    Rule(
        "within-errors",
        lambda _: True,
        AdviceStep.KEEP,
        (),
        "what was measured lies within its error, or within what can be tasted, of the aim",
        _FROST,
    ),
)
