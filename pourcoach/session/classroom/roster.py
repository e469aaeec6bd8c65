"""Who is at which station, and what is brewed there."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pourcoach import wall_clock
from pourcoach.domain.errors import UsageError
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.printable import LONGEST_NAME, printable
from pourcoach.practice.assignment import Mode
from pourcoach.practice.drill.drill import Drill
from pourcoach.scales.known.names import scale_address
from pourcoach.session.classroom.drill_work import DrillWork
from pourcoach.session.classroom.station import Station, Task
from pourcoach.session.classroom.work import BrewWork
from pourcoach.session.live import live_brew
from pourcoach.session.practice.course import PracticeCourse
from pourcoach.session.settings import Settings

MOST_STATIONS = 64
"""On one machine: more serial ports or radios than it takes."""


@dataclass(frozen=True, slots=True)
class StationRequest:
    """One station as it was asked for."""

    name: str
    address: str
    person: str | None = None
    plan: Plan | None = None
    """None brews the class's plan."""
    group: str | None = None
    drill: Drill | None = None
    """What is done at it first; None brews."""

    @classmethod
    def parse(cls, text: str) -> "StationRequest":
        """``NAME=ADDRESS``. Raises UsageError for anything else."""
        name, sign, address = text.partition("=")
        # An address may hold a sign of equality, a name does not.
        if not sign or not name.strip() or not address.strip() or len(name) > LONGEST_NAME:
            raise UsageError(f"{text!r} is no station", "write NAME=ADDRESS, as 1=sim:steady")
        return cls(printable(name.strip()), address.strip())


def seated(
    places: list[StationRequest],
    plan: Plan,
    settings: Settings,
    *,
    drills: Sequence[Drill] = (),
    mode: Mode = Mode.TRAIN,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
    on_frame: Callable[[Station, Frame], None] | None = None,
    on_over: Callable[[Station], None] | None = None,
) -> list[Station]:
    """A station for each place. No scale is opened yet. Each can be turned to any of ``drills``,
    which are practised in ``mode``.

    Raises UsageError for an address that means nothing, for one scale at two places, and for more
    stations than a machine takes.
    """
    if len(places) > MOST_STATIONS:
        raise UsageError(f"{len(places)} stations are too many", f"give up to {MOST_STATIONS}")
    taken: dict[str, str] = {}
    for place in places:
        address = scale_address(place.address)
        other = taken.setdefault(f"{address.kind}:{address.target}", place.name)
        if address.live and other != place.name:
            raise UsageError(
                f"stations {other!r} and {place.name!r} are on one scale, {place.address}",
                "give each a scale of its own",
            )

    def station(place: StationRequest) -> Station:
        brew = Task(
            "a brew",
            lambda: BrewWork(
                live_brew(
                    place.address,
                    place.plan or plan,
                    settings,
                    arrangement=arrangement,
                    by=place.person,
                    began=wall_clock.now(),
                )
            ),
        )
        own = [] if place.drill is None else [place.drill]
        others = [each for each in drills if each not in own]
        first, rest = (
            [DrillTask(each, place, settings, mode).task for each in found]
            for found in (own, others)
        )
        return Station(
            place.name,
            [*first, brew, *rest],
            person=place.person,
            group=place.group,
            on_frame=on_frame,
            on_over=on_over,
        )

    return [station(place) for place in places]


class DrillTask:
    """A drill for one person at one station; its sitting begins with the first pour."""

    def __init__(self, drill: Drill, place: StationRequest, settings: Settings, mode: Mode) -> None:
        self._drill = drill
        self._place = place
        self._settings = settings
        self._mode = mode
        self._course: PracticeCourse | None = None

    @property
    def task(self) -> Task:
        return Task(f"the drill {self._drill.title}", self._make)

    def _make(self) -> DrillWork | None:
        if self._course is None:
            self._course = PracticeCourse(
                self._drill,
                self._place.address,
                self._settings,
                now=wall_clock.now,
                by=self._place.person,
                mode=self._mode,
            )
        session = self._course.next()
        return None if session is None else DrillWork(self._course, session)
