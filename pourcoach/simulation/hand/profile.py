"""The habits of a pouring hand."""

from dataclasses import dataclass
from typing import TypeAlias

from pourcoach.domain.units import Grams, Seconds
from pourcoach.simulation.hand.wobble import WobbleKind
from pourcoach.simulation.jet import USUAL_HEIGHT_M

Range: TypeAlias = tuple[float, float]
"""Lowest and highest; each pour draws evenly between them."""


@dataclass(frozen=True, slots=True)
class HandProfile:
    """How a hand pours. The defaults are those of a steady, practised one.

    Chosen so that brews look like a hand's; no recording of hands pouring 2 to 10 g/s was found.
    """

    flow_share: Range = (0.95, 1.05)
    """Of the planned flow, one draw a pour."""
    ramp_up_s: Range = (0.15, 0.5)
    ramp_down_s: Range = (0.1, 0.35)
    wobble: WobbleKind = WobbleKind.OSCILLATOR
    wobble_cv: Range = (0.04, 0.07)
    """Coefficient of variation of flow from wandering."""
    wobble_hz: Range = (0.3, 0.9)
    wobble_damping: float = 0.32
    """Of the oscillating wobble."""
    tremor_cv: float = 0.01
    """From physiological tremor."""
    circle_cv: float = 0.02
    """From the tilt of the kettle as the stream circles."""
    circle_hz: Range = (0.5, 0.8)
    """Circles a second."""
    circle_m: float = 0.02
    """Radius of the stream's circles."""
    circle_off_m: float = 0.0
    """How far their middle lies from the bed's: a hand that favours one side."""
    reaction_s: Seconds = 0.25
    """Mean time from something seen or heard to the hand moving. Simple visual reaction takes
    about 0.19 s, recognition about 0.38 s (Welford 1980; Laming 1968)."""
    reaction_spread_s: Seconds = 0.05
    mark_bias_g: Grams = 0.0
    """How far beyond each mark the hand lands by habit."""
    mark_spread_g: Grams = 0.6
    """Standard deviation of where it aims."""
    bloom_share: float = 1.0
    """Of the planned bloom water, by habit."""
    start_bias_s: Seconds = 0.3
    """How late each stage begins by habit; early where negative."""
    start_spread_s: Seconds = 0.5
    bloom_wait_bias_s: Seconds = 0.0
    """How much later than that the pour after the bloom begins."""
    stalls: int = 0
    """A brew, each in a stage of its own while there are enough long ones."""
    surges: int = 0
    height_m: float = USUAL_HEIGHT_M
    """Of the spout above the water; hands hold it 8 to 15 cm up, common practice."""
    knocks: int = 0
    """Blows to the platform a brew, while the hand waits."""
    bumps: int = 0
    """Blows a brew at any moment: 4 to 60 g for 0.1 to 0.6 s, chosen."""
    presses: int = 0
    """How often a brew a hand presses on the platform while waiting, and lets go."""
    lifts: int = 0
    """How often a brew the brewer is lifted to look under it."""
    listens: bool = False
    """Whether cues are obeyed."""
    obedience: float = 0.95
    """The share of cues that a listening hand takes in."""
