"""How often the panel changes for a hand that answers nothing: words and colours a minute."""

from dataclasses import dataclass

from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.pour import Phase
from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.hand.profile import HandProfile
from pourcoach.simulation.scale.scale_model import ScaleModel
from pourcoach.tui.renderables.palette import TONES

FLOWS_GPS = (2.8, 4.0, 7.0, 9.0)
PLAN = Plan(
    dose_g=20.0,
    ratio=16.0,
    water_g=320.0,
    bloom_s=35.0,
    finish_s=190.0,
    stages=(
        Stage("bloom", 0.0, 40.0, 5.0),
        Stage("pour 1", 35.0, 180.0, 5.0),
        Stage("pour 2", 90.0, 320.0, 5.0),
    ),
)
LONGEST_S = 400.0


@dataclass(frozen=True)
class Restless:
    """Changes while stages are poured, a minute of that."""

    words_per_min: float
    colours_per_min: float


def restless(flow_gps: float, seed: int, rate_hz: float = 10.0) -> Restless:
    """One brew by a hand of this constant flow that pours each stage to its mark."""
    share = flow_gps / PLAN.stages[0].flow_gps
    hand = HandProfile(flow_share=(share, share), wobble_cv=(0.02, 0.04))
    brew = SimulatedBrew(PLAN, hand, seed, ScaleModel(rate_hz=rate_hz))
    pipeline = Pipeline(PLAN, Setup())
    words = colours = 0
    poured_s, last_s = 0.0, 0.0
    word = colour = None
    t_s = 0.0
    while not brew.over and t_s < LONGEST_S:
        t_s += 0.1
        for reading in brew.advance_to(t_s):
            frame = pipeline.feed(reading)
            if frame.pour.phase is Phase.POURING:
                words += word is not None and frame.cue.word is not word
                colours += colour is not None and TONES[frame.cue.state] is not colour
                poured_s += frame.t_s - last_s
            word, colour, last_s = frame.cue.word, TONES[frame.cue.state], frame.t_s
    return Restless(60.0 * words / poured_s, 60.0 * colours / poured_s)
