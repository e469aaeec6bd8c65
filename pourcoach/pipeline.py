"""The one fold: a live brew, a replay and an analysis all go through here, one input at a time."""

from pourcoach.coaching.coach import Coach
from pourcoach.domain.fall import fall_from
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input
from pourcoach.domain.plan import Plan
from pourcoach.domain.setup import Setup
from pourcoach.domain.slices import Slices, result_of
from pourcoach.estimation.estimator import Estimator


class Pipeline:
    """Turns inputs into Frames. Equal inputs, plan and setup give equal Frames, to the last bit."""

    def __init__(self, plan: Plan | None = None, setup: Setup | None = None) -> None:
        setup = setup or Setup()
        self._estimator = Estimator(setup.scale_delay_s, fall_from(setup.fall_height_cm))
        self._coach = Coach(plan, setup)

    def feed(self, item: Input) -> Frame:
        """Take the next input and return its Frame. Its ``t_s`` must not lie before the last
        one's."""
        estimate = self._estimator.feed(item)
        return self._coach.feed(item, estimate)

    def finish(self, t_s: float) -> Frame:
        """End the input: refine the pours that are still open and return the last Frame.

        Nothing may be fed afterwards.
        """
        return result_of(self.finishing(t_s))

    def finishing(self, t_s: float) -> Slices[Frame]:
        """Do the work of ``finish`` in slices of some milliseconds: refining a pour of ten minutes
        takes seconds."""
        estimate = yield from self._estimator.closing(t_s)
        return self._coach.close(estimate)


def load_hindsight() -> None:
    """Import numpy, which refining a pour needs and which takes a fifth of a second.

    Call it before feeding live readings, away from the fold; otherwise the first pour that ends
    waits for it.
    """
    import numpy.ma  # noqa: F401  # numpy.median loads it when it is first called

    from pourcoach.estimation.pours import evenness, ramp  # noqa: F401
    from pourcoach.estimation.stamps import restamping  # noqa: F401
