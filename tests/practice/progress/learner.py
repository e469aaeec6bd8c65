"""A simulated student: learns from results at a rate, leans on help by a share, forgets."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from random import Random

from pourcoach.practice.assignment import Mode
from pourcoach.practice.block.result import PourFigure, Result
from pourcoach.practice.course import PastPour, next_places
from pourcoach.practice.drill.measure import Judged, PourMeasure
from pourcoach.practice.level import Level
from pourcoach.practice.progress.progress import PourRecord
from pourcoach.practice.schedule import USUAL, Part, Place

START = datetime(2026, 3, 2, 9, tzinfo=UTC)
MARK_G, BAND_G = 150.0, 6.0
_JUDGED = Judged(PourMeasure.LANDING, BAND_G, 1)


@dataclass(frozen=True)
class Habits:
    """Of one student."""

    learns: float
    """Share of bias and of excess spread that a result takes away."""
    leans: float
    """Share of the error that live help takes away while it is there."""
    forgets: float = 0.15
    """Share of what was learnt that a night takes away."""
    bias_g: float = 14.0
    spread_g: float = 12.0
    best_g: float = 3.0
    """Spread that no practice goes below."""


FOLLOWS = Habits(learns=0.0, leans=0.9)
"""Good pours while the curve is shown, and nothing learnt."""
LEARNS = Habits(learns=0.2, leans=0.4)


class Student:
    """Makes pours; every one is recorded."""

    def __init__(self, habits: Habits, seed: int) -> None:
        self._habits = habits
        self._chance = Random(f"student {seed} {habits}")
        side = self._chance.choice((-1, 1))
        self._bias_g = self._first_bias_g = side * habits.bias_g * self._chance.uniform(0.7, 1.3)
        self._spread_g = self._first_spread_g = habits.spread_g * self._chance.uniform(0.8, 1.2)
        self.records: list[PourRecord] = []
        self._places: list[tuple[int, int]] = []

    def pour(self, place: Place, at: datetime) -> None:
        """One pour at a place of the schedule."""
        habits, chance = self._habits, self._chance
        error_g = self._bias_g + chance.gauss(0, self._spread_g)
        if place.live_help:
            error_g *= 1 - habits.leans
        figure = PourFigure(_JUDGED, MARK_G, BAND_G, MARK_G + error_g)
        truth = MARK_G + error_g
        result = Result((figure,), 30.0, truth, truth + chance.gauss(0, 8.0))
        mode = Mode.ASSIST if place.part is Part.ASSIST else Mode.TRAIN
        record = PourRecord(at, "landing", "Landing", mode, place.part, place.live_help, result)
        self.records.append(record)
        self._places.append((place.block, place.pour))
        if place.result:
            # Only the error that was shown, and was the student's own, teaches.
            own = 1 - habits.leans if place.live_help else 1.0
            self._bias_g -= habits.learns * own * self._bias_g
            self._spread_g -= habits.learns * own * (self._spread_g - habits.best_g)

    def sleep(self) -> None:
        """A night between two days."""
        share = self._habits.forgets
        self._bias_g += share * (self._first_bias_g - self._bias_g)
        self._spread_g += share * (self._first_spread_g - self._spread_g)

    @property
    def history(self) -> list[PastPour]:
        """The places made, as a course takes them."""
        return [
            PastPour(record.mode, record.part, block, pour, record.at)
            for record, (block, pour) in zip(self.records, self._places, strict=True)
        ]


def trained(habits: Habits, seed: int) -> Student:
    """Two days of practice, then the tests after a day and after a week: eight test pours."""
    student = Student(habits, seed)
    at = START
    for sittings in (3, 3):
        for _ in range(sittings):
            for place in next_places(student.history, at, USUAL, Level.BEGINNER, seed):
                student.pour(place, at)
                at += timedelta(minutes=2)
        at += timedelta(hours=20)
        student.sleep()
    for wait in (timedelta(hours=6), timedelta(days=7)):
        at += wait
        for place in next_places(student.history, at, USUAL, Level.BEGINNER, seed):
            student.pour(place, at)
            at += timedelta(minutes=2)
    return student
