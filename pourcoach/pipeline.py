"""The one fold: a live brew, a replay and an analysis all go through here, one input at a time."""

from pourcoach.coaching.coach import Coach
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.fall import fall_from
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input
from pourcoach.domain.plan import Plan
from pourcoach.domain.setup import Setup
from pourcoach.domain.slices import Slices, result_of
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.hindsight import Hindsight, is_doubtful, same_path
from pourcoach.estimation.kept_inputs import KeptInputs

# Inputs that are gone through again in a slice: with each of them a slice of a refinement may come.
IN_A_SLICE = 4
# A record is gone through again so many times at most: each shows what happened beside what the one
# before has shown.
MOST_TIMES_AGAIN = 3


class Pipeline:
    """Turns inputs into Frames. Equal inputs, plan and setup give equal Frames, to the last bit."""

    def __init__(self, plan: Plan | None = None, setup: Setup | None = None) -> None:
        self._plan, self._setup = plan, setup or Setup()
        self._inputs = KeptInputs()
        self._estimator, self._coach = self._fold(None)

    def feed(self, item: Input) -> Frame:
        """Take the next input and return its Frame. Its ``t_s`` must not lie before the last
        one's."""
        self._inputs.append(item)
        estimate = self._estimator.feed(item)
        return self._coach.feed(item, estimate)

    def finish(self, t_s: float) -> Frame:
        """End the input: refine the pours that are still open and return the last Frame.

        Nothing may be fed afterwards.
        """
        return result_of(self.finishing(t_s))

    def finishing(self, t_s: float) -> Slices[Frame]:
        """Do the work of ``finish`` in slices of some milliseconds: refining a pour of ten minutes
        takes seconds.

        A record in which something was in doubt is gone through once more from its beginning, with
        what it has shown of the scale and the platform by its end; the last Frame is then that of
        the second time, but for the reaction time: nobody heard the words of the second time.
        """
        estimate = yield from self._estimator.closing(t_s)
        last = self._coach.close(estimate)
        hindsight = self._estimator.hindsight(estimate)
        if hindsight is None or not self._inputs.complete:
            return last
        again = yield from self._gone_through_again(hindsight, estimate, t_s)
        return last if again is None else again._replace(reaction_s=last.reaction_s)

    def _gone_through_again(
        self, hindsight: Hindsight, before: Estimate, t_s: float
    ) -> Slices[Frame | None]:
        """Go through the whole record once more, with what it has shown, and again where that shows
        what else happened. None where that comes to the same, or to what is less certain though the
        record as it was had not decided it, or where the brewer would have been asked something
        else: what was answered must stand."""
        decided = hindsight.decides
        for _ in range(MOST_TIMES_AGAIN):
            estimator, coach = self._fold(hindsight)
            for count, item in enumerate(self._inputs):
                if count % IN_A_SLICE == 0:
                    yield
                coach.feed(item, estimator.feed(item))
            estimate = yield from estimator.closing(t_s)
            last = coach.close(estimate)
            more = estimator.hindsight(estimate)
            if more is None or not more.decides:
                break
            hindsight = hindsight.joined(more)
        answered = coach.answers == self._coach.answers
        surer = decided or not is_doubtful(estimate, before)
        return last if answered and surer and not same_path(before, estimate) else None

    def _fold(self, hindsight: Hindsight | None) -> tuple[Estimator, Coach]:
        setup = self._setup
        fall = fall_from(setup.fall_height_cm)
        return Estimator(setup.scale_delay_s, fall, hindsight), Coach(self._plan, setup)


def load_hindsight() -> None:
    """Import numpy, which refining a pour needs and which takes a fifth of a second.

    Call it before feeding live readings, away from the fold; otherwise the first pour that ends
    waits for it.
    """
    import numpy.ma  # noqa: F401  # numpy.median loads it when it is first called

    from pourcoach.estimation.pours import evenness, ramp  # noqa: F401
    from pourcoach.estimation.stamps import restamping  # noqa: F401
