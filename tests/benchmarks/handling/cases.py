"""Brews in which keys, clicks, the scale's own button and lifts come at any moment, by lot."""

from dataclasses import dataclass
from enum import Enum
from random import Random

from pourcoach.domain.units import Seconds
from pourcoach.simulation.faults import Lift, OwnTare
from tests.benchmarks.coaching.cases import Case
from tests.benchmarks.stream.cases import plain, with_faults

TUNING_SEED = 4_000_000
"""Seeds from here on may be looked at while constants are chosen."""
REPORTED_SEED = 35_000_000
BEFORE_S: Seconds = 2.0
"""Presses begin so long before the first water."""
PRESSES = (2, 8)
LIFTS = (0, 1)
CLICK_GAP_S: Seconds = 1.2
"""Between two stray clicks: two within a second are the way to end a brew."""
AGAIN_S: Seconds = 0.4
TAKEN_BACK_S: Seconds = 2.0
APART_S: Seconds = 2.0
"""Between a lift and a press of the scale's button: nobody does both at once."""


class Act(Enum):
    """What a hand does to the program."""

    CLICK = "click"
    """A click, Space or Enter: the main action, once."""
    END_AND_BACK = "end and back"
    """The main action twice within a second, and then undo."""
    TARE = "tare"
    OWN_TARE = "own tare"
    """The scale's own button, of which the program knows nothing."""
    UNDO = "undo"
    MARK = "mark"


@dataclass(frozen=True)
class Press:
    """One act at its moment of the brew."""

    brew_s: Seconds
    act: Act


@dataclass(frozen=True)
class Handled:
    """A brew and what is done to it."""

    case: Case
    presses: tuple[Press, ...]
    scale_tares: bool
    """Whether the scale carries out the tares that it is sent."""


def own_tares(seed: int) -> Case:
    """The scale's own button is pressed one to three times, at any moment, at 10 to 80 Hz."""
    case, chance = plain(seed, drumming_s=0.012), Random(f"one to three tares {seed}")
    count = chance.randint(1, 3)
    moments_s = [chance.uniform(1.0, case.plan.finish_s) for _ in range(count)]
    return with_faults(case, *(OwnTare(moment_s) for moment_s in moments_s))


def handled(seed: int, *, lifts_too: bool = True) -> Handled:
    """All of it at once: no hand at the kettle does wrong, everything else is done to the brew."""
    case, chance = plain(seed, drumming_s=0.012), Random(f"handled {seed}")
    last_s = case.plan.finish_s
    lifts = [
        Lift(chance.uniform(1.0, last_s), chance.uniform(1.5, 5.0))
        for _ in range(chance.randint(*LIFTS))
        if lifts_too
    ]
    presses = [
        press
        for press in _presses(chance, last_s)
        if press.act is not Act.OWN_TARE or not any(_near(press, lift) for lift in lifts)
    ]
    return Handled(with_faults(case, *lifts), tuple(presses), chance.random() < 0.5)


def _near(press: Press, lift: Lift) -> bool:
    return -APART_S < press.brew_s - lift.brew_s < lift.lasts_s + APART_S


def _presses(chance: Random, last_s: Seconds) -> tuple[Press, ...]:
    made: list[Press] = []
    for moment_s in sorted(
        chance.uniform(-BEFORE_S, last_s) for _ in range(chance.randint(*PRESSES))
    ):
        act = chance.choice(tuple(Act))
        gap_s = moment_s - made[-1].brew_s if made else CLICK_GAP_S
        after_end = made and made[-1].act is Act.END_AND_BACK
        if gap_s < (TAKEN_BACK_S + CLICK_GAP_S if after_end else CLICK_GAP_S):
            continue
        made.append(Press(moment_s, act))
    return tuple(made)
