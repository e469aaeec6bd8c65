"""Stations side by side: each with its own tape, and no fault of one reaches another."""

import asyncio
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.advice import Word
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.inputs import Note, Reading
from pourcoach.domain.pour import Phase
from pourcoach.library.brews import find_brews
from pourcoach.library.library import Library, library_path
from pourcoach.recordings.tape import TapeHeader, read_tape
from pourcoach.recordings.writer import TapeWriter
from pourcoach.session.brew import BrewSession
from pourcoach.session.classroom.classroom import Classroom
from pourcoach.session.classroom.roster import StationRequest, seated
from pourcoach.session.classroom.station import Station, Task
from pourcoach.session.classroom.work import BrewWork
from pourcoach.session.clock import Clock
from pourcoach.session.live import LiveBrew
from pourcoach.session.settings import Settings
from pourcoach.sharing.seen import TileAge
from tests.session.fakes import FakeScale

PLAN = work_out(PlanRequest()).plan
SHORT = work_out(PlanRequest(dose_g=5.0, water_g=30.0, bloom_wait_s=15.0, pours=1)).plan


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def poured(grams: float) -> list[Reading]:
    """At rest, then a pour of so much in five seconds, then rest."""
    levels = [0.0] * 20 + [grams * step / 50 for step in range(51)] + [grams] * 30
    return [Reading(tick / 10, level) for tick, level in enumerate(levels)]


async def until(holds: Callable[[], bool]) -> None:
    """Let the stations go on until it holds."""
    while not holds():  # noqa: ASYNC110 (what is waited for has no event)
        await asyncio.sleep(0.01)


class Maker:
    """Makes brews on fake scales, and keeps them."""

    def __init__(self, folder: Path, scale: FakeScale) -> None:
        self.made: list[LiveBrew] = []
        self._folder = folder
        self._scale = scale

    def __call__(self) -> BrewWork:
        path = self._folder / f"{id(self)}-{len(self.made)}.jsonl"
        header = TapeHeader(plan=PLAN, recorded_at=datetime.now(UTC).isoformat())
        tape = TapeWriter(path, header)
        session = BrewSession(self._scale, Clock(1000.0), PLAN, tape=tape)
        self.made.append(LiveBrew(session, tape))
        return BrewWork(self.made[-1])


def station(name: str, folder: Path, *items: Reading | Exception, ends: bool = True) -> Station:
    return Station(name, [Task("a brew", Maker(folder, FakeScale(items, ends=ends)))])


async def test_each_station_has_a_tape_of_its_own(tmp_path: Path) -> None:
    room = Classroom([station("1", tmp_path, *poured(40.0)), station("2", tmp_path, *poured(60.0))])
    room.start()
    await room.over()
    lasts = []
    for each in room.stations:
        (done,) = each.done
        path = done.recording
        lasts.append([i for i in read_tape(path).inputs if isinstance(i, Reading)][-1].grams)
        assert each.trouble is None
    assert lasts == [40.0, 60.0]


async def test_a_station_that_fails_does_not_touch_the_others(tmp_path: Path) -> None:
    fine = station("fine", tmp_path, *poured(40.0))
    gone = station("gone", tmp_path, WorkError("the scale is gone"))
    broken = station("broken", tmp_path, *poured(40.0)[:30], ZeroDivisionError("bug"))

    def unmade() -> BrewWork:
        raise UsageError("no such scale")

    room = Classroom([gone, broken, Station("unmade", [Task("a brew", unmade)]), fine])
    room.start()
    await room.over()
    assert fine.trouble is None
    assert len(read_tape(fine.done[0].recording).inputs) == len(poured(40.0))
    assert gone.trouble == "the scale is gone"
    assert "ZeroDivisionError: bug" in (broken.trouble or "")
    assert [seen.trouble for seen in room.seen()][2] == "no such scale"
    # What came before the fault is kept.
    assert len(read_tape(broken.done[0].recording).inputs) == 30


async def test_a_station_is_started_again_after_its_brew(tmp_path: Path) -> None:
    room = Classroom([station("1", tmp_path, *poured(40.0))])
    for _ in range(2):
        room.start()
        room.start()  # one is under way: nothing happens
        await room.over()
    assert len(room.stations[0].done) == 2


async def test_what_is_asked_of_one_or_all(tmp_path: Path) -> None:
    items = poured(40.0)
    room = Classroom([station(name, tmp_path, *items, ends=False) for name in "12"])
    room.start()
    async with asyncio.timeout(10):
        await until(lambda: all(each.brewing for each in room.stations))
        room.note("all of you")
        room.note("only you", "2")
        room.finish("1")
        await until(lambda: not room.stations[0].brewing)
        assert room.stations[1].brewing
        await room.close()
    notes = [notes_on(each.done[-1].recording) for each in room.stations]
    assert notes == [["all of you"], ["all of you", "only you"]]
    assert not room.running


def notes_on(recording: Path) -> list[str]:
    return [item.text for item in read_tape(recording).inputs if isinstance(item, Note)]


async def test_seen_is_a_tile_for_each(tmp_path: Path) -> None:
    room = Classroom([station("1", tmp_path, *poured(40.0), ends=False)])
    (seen,) = room.seen()
    assert (seen.standing, seen.tile) == (TileAge.WAITING, None)
    room.start()
    async with asyncio.timeout(10):
        await until(lambda: room.brewing)
    (seen,) = room.seen()
    assert seen.tile is not None
    assert (seen.name, seen.standing, seen.tile.station) == ("1", TileAge.LIVE, "1")
    assert seen.tile.phase is not Phase.READY
    assert seen.tile.word is not Word.SCALE
    await room.close()


async def test_brews_of_a_class_are_in_the_library_under_their_people() -> None:
    places = [
        StationRequest("1", "sim:steady?speed=100", "Ada"),
        StationRequest("2", "sim:hasty?speed=100", "Ben"),
    ]
    room = Classroom(seated(places, SHORT, Settings()))
    room.start()
    await room.over()
    with Library(library_path()) as library:
        assert sorted(str(brew.by) for brew in find_brews(library)) == ["Ada", "Ben"]
    assert [station.trouble for station in room.stations] == [None, None]


@pytest.mark.parametrize(
    "text", ["", "1", "=sim:steady", "1=", " =sim:steady", "x" * 99 + "=sim:a"]
)
def test_what_is_no_station_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="no station"):
        StationRequest.parse(text)


def test_an_address_may_hold_a_sign_of_equality() -> None:
    assert StationRequest.parse("1 = sim:steady?seed=3") == StationRequest("1", "sim:steady?seed=3")


def test_two_stations_of_one_name_or_one_scale_are_refused() -> None:
    with pytest.raises(UsageError, match="no station"):
        Classroom([])
    with pytest.raises(UsageError, match="one scale"):
        seated(
            [StationRequest("1", "serial:/dev/x"), StationRequest("2", "serial:/dev/x?baud=9600")],
            PLAN,
            Settings(),
        )
    twice = seated(
        [StationRequest("1", "sim:steady"), StationRequest("1", "sim:hasty")], PLAN, Settings()
    )
    with pytest.raises(UsageError, match="two stations"):
        Classroom(twice)
