"""One sitting of practice: which pours come, and each of them ready to run."""

import zlib
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from pourcoach.domain.errors import UsageError
from pourcoach.domain.frame import Frame
from pourcoach.domain.printable import printable
from pourcoach.domain.setup import Setup
from pourcoach.places import tapes_folder
from pourcoach.practice.assignment import Assignment, Mode, assigned
from pourcoach.practice.block.attempt import Attempt
from pourcoach.practice.block.summary import Summary, summary
from pourcoach.practice.course import DueTest, PastPour, next_places, next_test
from pourcoach.practice.drill.drill import Drill
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import Part, Place, Schedule
from pourcoach.recordings.tape import TapeHeader
from pourcoach.recordings.writer import TapeWriter, new_tape_path
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.known.names import scale_address
from pourcoach.scales.open import calibration_in_force, open_scale
from pourcoach.scales.worked_out.simulated import SimulatedScale
from pourcoach.session.brew import BrewSession
from pourcoach.session.clock import Clock
from pourcoach.session.kept.keeping import Keeping
from pourcoach.session.live import heard_by
from pourcoach.session.practice.drill_brew import PracticeSession
from pourcoach.session.practice.shelf import attempt_on, kept_pours
from pourcoach.session.settings import Settings

# Each pour of a simulated hand draws anew; no schedule has so many pours in a block.
_POURS_APART = 1000


class PracticeCourse:
    """Gives one session after another; ``take`` takes each back when it has run."""

    def __init__(
        self,
        drill: Drill,
        address: str,
        settings: Settings,
        *,
        now: Callable[[], datetime],
        by: str | None = None,
        mode: Mode = Mode.TRAIN,
        seed: int | None = None,
        level: Level | None = None,
        part: Part | None = None,
        schedule: Schedule | None = None,
        pours: int | None = None,
        on_kept: Callable[[Path], None] | None = None,
    ) -> None:
        """``part`` asks for a test or for practice; by default a test that is due comes first.
        ``pours`` ends the sitting early. ``on_kept`` is given each recording once it is whole, in a
        thread; a WorkError it raises is reported as the library's is.

        Raises UsageError for an address that means nothing, and for a test that is not due.
        """
        self.drill = drill
        self.schedule = schedule or drill.schedule
        self.by = None if by is None else printable(by)
        self._address = scale_address(address)
        self._settings = settings
        self._now = now
        self._on_kept = on_kept
        kept = kept_pours(self.by, drill.name)
        self._history: list[PastPour] = [pour.past for pour in kept]
        self.seed = _usual_seed(self.by, drill) if seed is None else seed
        tested = any(past.part.is_test for past in self._history)
        self.level = level or (Level.PRACTISED if tested else Level.BEGINNER)
        self._places = list(self._sitting(mode, part))[:pours]
        self.current: PracticeSession | None = None
        """The pour under way, or the last; None before the first."""
        self._made: list[Attempt] = [
            attempt
            for pour in kept
            if self._places
            and _same_block(pour.past, self._places[-1])
            and (attempt := attempt_on(pour.tape)) is not None
        ]

    def _sitting(self, mode: Mode, part: Part | None) -> tuple[Place, ...]:
        if mode is Mode.ASSIST:
            place = Place(Part.ASSIST, live_help=True, result=True)
            return (place,) * self.schedule.block
        history = self._history
        now = self._now()
        if part is Part.BLOCK:
            history = [past for past in history if not past.part.is_test]
            return next_places(
                history, now, replace(self.schedule, tests=False), self.level, self.seed
            )
        test = next_test(history, self.schedule)
        if part is not None and part.is_test and (test is None or test.at > now):
            when = "after some practice" if test is None else f"{test.at:%Y-%m-%d %H:%M}"
            raise UsageError(
                f"no test of {self.drill.name} is due yet",
                f"the next one is due {when}, 24 h or more after practice",
            )
        return next_places(history, now, self.schedule, self.level, self.seed)

    @property
    def next_test(self) -> DueTest | None:
        """Due now or later; None where none is to come."""
        return next_test(self._history, self.schedule)

    @property
    def by_kettle(self) -> bool:
        """Whether the simulated kettle is poured from."""
        return self._address.kind == "kettle"

    @property
    def left(self) -> tuple[Place, ...]:
        """The pours of this sitting that are still to come."""
        return tuple(self._places)

    def next(self) -> PracticeSession | None:
        """The next pour, ready to run on its tape; None where the sitting is over."""
        if not self._places:
            return None
        assignment, plan = assigned(self.drill, self._places[0], level=self.level, seed=self.seed)
        self.current = self._live(assignment, Attempt(assignment, plan))
        return self.current

    def take(self, session: PracticeSession) -> Summary | None:
        """After a pour: go on to the next where it was made to its end. With the last pour of a
        block comes its summary."""
        attempt = session.attempt
        place = attempt.assignment.place
        assist = place.part is Part.ASSIST
        if attempt.result is None or (attempt.result.estimate is None and not assist):
            return None
        self._places.pop(0)
        mode = attempt.assignment.mode
        self._history.append(PastPour(mode, place.part, place.block, place.pour, self._now()))
        if place.part is not Part.BLOCK:
            return None
        self._made.append(attempt)
        if place.pour < place.of:
            return None
        made, self._made = self._made, []
        return summary([each.result for each in made if each.result is not None])

    def _live(self, assignment: Assignment, attempt: Attempt) -> PracticeSession:
        began = self._now()
        address = _varied(self._address, assignment.place)
        clock = Clock(address.speed)
        scale = open_scale(address, clock.now, attempt.plan)
        settings = self._settings
        setup = Setup(
            reaction_s=settings.reaction_s,
            scale_delay_s=settings.scale_delay_s,
            fall_height_cm=settings.fall_height_cm,
        )
        kept = calibration_in_force(address)
        header = TapeHeader(
            plan=attempt.plan,
            setup=setup,
            recorded_at=began.isoformat(timespec="seconds"),
            scale={"address": str(self._address)}
            | ({} if kept is None else {"calibration": kept.as_dict()}),
            by=self.by,
            practice=assignment.as_dict(),
        )
        tape = TapeWriter(new_tape_path(tapes_folder(), began), header, any_name=True)
        session = PracticeSession(attempt)
        hears: Callable[[Frame], None] | None = None
        if isinstance(scale, SimulatedScale) and assignment.place.live_help:
            # A simulated hand, too, hears only what its student may.
            hears = heard_by(scale)
        # What a pour without help says of the lead before STOP is nothing.
        keeping = Keeping(tape, header, learns=False)

        def keep(last: Frame) -> None:
            keeping.keep(last)
            if self._on_kept is not None and tape.kept is not None:
                self._on_kept(tape.kept)

        brew = BrewSession(scale, clock, attempt.plan, setup, tape, hears, keep, session.observe)
        return session.over(brew)


def _usual_seed(by: str | None, drill: Drill) -> int:
    """One and the same for a person and a drill, so that a block broken off goes on."""
    return zlib.crc32(f"{(by or '').casefold()} {drill.name}".encode())


def _same_block(past: PastPour, place: Place) -> bool:
    return past.part is Part.BLOCK and place.part is Part.BLOCK and past.block == place.block


def _varied(address: ScaleAddress, place: Place) -> ScaleAddress:
    """A simulated hand pours each time anew, and each place of a schedule the same again."""
    if address.kind != "sim":
        return address
    seed = address.seed + _POURS_APART * place.block + place.pour - 1
    return replace(address, options=address.options | {"seed": str(seed)})
