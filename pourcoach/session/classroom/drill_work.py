"""Drills at a station: pour after pour by practice's own rules, with no more shown than the
student may see."""

from collections.abc import Callable
from dataclasses import replace

from pourcoach.domain.frame import Frame
from pourcoach.practice.assignment import Mode
from pourcoach.practice.block.attempt import Glance, Step
from pourcoach.session.classroom.work import Done, grow_by_frame
from pourcoach.session.practice.board import place_of, practice_seen
from pourcoach.session.practice.course import PracticeCourse
from pourcoach.session.practice.drill_brew import PracticeSession
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.seen import SeenStation
from pourcoach.wording import practice as words

NO_RESULT = "Kept. No result in this pour."
NOTHING = "Nothing was poured."
NO_ESTIMATE = "No estimate was given, so this pour is made once more."


class DrillWork:
    """One pour of a drill; it ends once its result has been shown, or there is none to show."""

    def __init__(self, course: PracticeCourse, session: PracticeSession) -> None:
        """``session`` is the course's next one."""
        self.curve = StationCurve()
        self._course = course
        self._session = session
        self._drilled: str | None = None

    @property
    def brewing(self) -> bool:
        return self._session.step is Step.POURING

    @property
    def asks(self) -> bool:
        return self._session.step is Step.ASKING

    @property
    def trouble(self) -> str | None:
        return self._session.brew.trouble

    async def run(self, hear: Callable[[Frame], None]) -> None:
        def on_glance(glance: Glance) -> None:
            if glance.frame is not None:
                grow_by_frame(self.curve, glance.frame)
                hear(glance.frame)
            else:
                self.curve.hide()
            if glance.step in (Step.SHOWN, Step.OVER):
                # What it came to stays on the wall until the next pour.
                self._session.stop()

        session = self._session
        await session.run(on_glance)
        self._drilled = self._came_to()
        made = self._course.take(session)
        if made is not None:
            assignment = session.attempt.assignment
            lead = assignment.judged[0].measure
            summary = words.summary_sentence(made, lead, assignment.asks.measure)
            self._drilled = f"{self._drilled} {summary}"

    def _came_to(self) -> str:
        newest, result = self._session.newest, self._session.attempt.result
        if newest is not None and newest.result is not None:
            return words.result_sentence(newest.result)
        if result is None:
            return NOTHING
        assist = self._session.attempt.assignment.mode is Mode.ASSIST
        return NO_RESULT if assist or result.estimate is not None else NO_ESTIMATE

    def seen(self, station: str, person: str | None, number: int, *, running: bool) -> SeenStation:
        seen = practice_seen(
            self._session,
            station,
            title=self._course.drill.title,
            says=None if running else self._drilled,
            person=person,
            number=number,
        )
        return replace(seen, age_s=seen.age_s if running else None)

    def done(self) -> Done | None:
        kept, last = self._session.recording, self._session.brew.newest
        if kept is None or last is None or self._drilled is None:
            return None
        title = self._course.drill.title
        return Done(kept, last, f"{place_of(self._session, title)}: {self._drilled}")

    def tare(self) -> None:
        self._session.tare()

    def finish(self) -> None:
        """The student is done pouring."""
        if self.brewing:
            self._session.main()

    def note(self, text: str) -> None:
        self._session.note(text)

    def estimate(self, value: float) -> None:
        if self.asks:
            self._session.estimate(value)

    def stop(self) -> None:
        self._session.stop()
