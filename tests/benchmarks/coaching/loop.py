"""Does coaching help? The same hands, listening and not, on the same seeds."""

from dataclasses import dataclass, replace
from statistics import fmean

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.pour import Phase
from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.hand.profile import HandProfile
from tests.benchmarks.coaching.cases import Case
from tests.benchmarks.coaching.guided import guided

LONGEST_S = 600.0
LEARNER = HandProfile(
    flow_share=(0.75, 1.3),
    wobble_cv=(0.10, 0.30),
    mark_bias_g=3.0,
    mark_spread_g=5.0,
    start_bias_s=2.0,
    start_spread_s=4.0,
)
"""A hand that needs help: wrong pace, unsteady, off its marks and its times."""
PRACTISED = HandProfile()


@dataclass(frozen=True)
class Outcome:
    """One brew, by what really happened."""

    landing_g: float
    """Mean size of the error over its stages."""
    water_g: float
    """Size of the error of all water."""
    start_s: float
    """Mean size of the error over its later stages."""
    flow_cv: float
    outside: float
    """Share of the time poured outside the band."""
    flags: float
    """Faults of the hand, as they truly were."""
    words_per_min: float


def outcome(case: Case, hand: HandProfile, *, listens: bool) -> Outcome:
    """Run one brew in the loop. The program knows nothing of whether it is heard."""
    brew = SimulatedBrew(case.plan, replace(hand, listens=listens), case.seed, case.scale)
    pipeline = Pipeline(case.plan, Setup())
    outside = pouring = words = 0
    word = None
    frame = None
    for frame in guided(brew, pipeline, LONGEST_S):
        state = frame.pour
        if frame.cue.word is not word:
            word = frame.cue.word
            words += 1
        if state.phase is Phase.POURING and state.off_g is not None and state.band_g is not None:
            pouring += 1
            outside += abs(state.off_g) > state.band_g
    assert frame is not None
    truth, plan = brew.truth, case.plan
    last = {pour.stage: pour for pour in truth.pours}
    first = {pour.stage: pour for pour in reversed(truth.pours)}
    stages = range(len(plan.stages))
    landings = [abs(last[i].end_g - plan.stages[i].to_g) for i in stages if i in last]
    starts = [
        abs(first[i].start_s - truth.first_water_s - plan.stages[i].start_s)
        for i in stages
        if i in first and i > 0
    ]
    cvs = [pour.flow_cv for pour in truth.pours if pour.flow_cv is not None]
    of_hand = [one for one in truth.faults if one.kind is not FlagKind.SLOW_DRAIN]
    return Outcome(
        landing_g=fmean(landings),
        water_g=abs(truth.poured[-1] - plan.water_g),
        start_s=fmean(starts),
        flow_cv=fmean(cvs),
        outside=outside / pouring,
        flags=float(len(of_hand)),
        words_per_min=words / (frame.t_s / 60.0),
    )
