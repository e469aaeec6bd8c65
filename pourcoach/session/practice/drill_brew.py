"""One pour of a drill end to end: the brew session, with what may be seen of it."""

from pathlib import Path

from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input, SelfEstimate, Shown, Sight
from pourcoach.domain.units import Seconds
from pourcoach.practice.block.attempt import Attempt, Glance, OnGlance, Step
from pourcoach.session.brew import BrewSession
from pourcoach.session.inbox import Action
from pourcoach.simulation.kettle import Kettle


class PracticeSession:
    """A surface calls the plain methods and is given Glances, never Frames.

    It runs until ``stop``, so that a result can be looked at while the tape is still open.
    """

    def __init__(self, attempt: Attempt) -> None:
        self.attempt = attempt
        self._brew: BrewSession | None = None
        self._glance: Glance | None = None
        self._asked: set[Sight] = set()

    def observe(self, item: Input, frame: Frame) -> None:
        """For the brew session: take each input with its Frame."""
        self._glance = self.attempt.feed(item, frame)
        due = self.attempt.due(item.t_s)
        if due is not None and due not in self._asked:
            self._asked.add(due)
            self._act(lambda t_s: Shown(t_s, due))

    def over(self, brew: BrewSession) -> "PracticeSession":
        """Give it the brew session that it observes; once."""
        self._brew = brew
        return self

    @property
    def brew(self) -> BrewSession:
        """The session underneath. Surfaces have no business with its Frames."""
        assert self._brew is not None
        return self._brew

    @property
    def kettle(self) -> Kettle | None:
        """The simulated one that the student tilts; None at any other scale."""
        return self.brew.kettle

    @property
    def newest(self) -> Glance | None:
        """The last Glance; None before the first input."""
        return self._glance

    @property
    def step(self) -> Step:
        return self.attempt.step

    @property
    def notice(self) -> str | None:
        """A sentence on the scale or the tape; None if all is well. Never of the pour."""
        return self.brew.notice

    @property
    def recording(self) -> Path | None:
        return self.brew.recording

    async def run(self, on_glance: OnGlance) -> None:
        """Run until stopped. Raises WorkError where the scale cannot be used at all."""

        def on_frame(_: Frame) -> None:
            if self._glance is not None:
                on_glance(self._glance)

        last = await self.brew.run(on_frame)
        if last is not None:
            self.attempt.close(last)

    def now(self) -> Seconds:
        """The moment on the tape, running on between inputs."""
        return self.brew.now()

    def main(self) -> None:
        """The main action: begin when ready; while pouring, say that it is done."""
        if self.step is Step.READY:
            self.brew.main()
        elif self.step is Step.POURING:
            self.brew.finish()

    def estimate(self, value: float) -> None:
        """What the student thinks they poured."""
        self._act(lambda t_s: SelfEstimate(t_s, value))

    def tare(self) -> None:
        self.brew.tare()

    def note(self, text: str) -> None:
        self.brew.note(text)

    def stop(self) -> None:
        """End now, saving what there is."""
        self.brew.stop()

    def _act(self, action: Action) -> None:
        self.brew.act(action)
