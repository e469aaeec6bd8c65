"""A drill at a station: practice's own rules, tapes and progress, shown to all and no more than the
student may see."""

import asyncio
from collections.abc import Callable
from pathlib import Path

import pytest

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.advice import Word
from pourcoach.domain.inputs import SelfEstimate
from pourcoach.practice.assignment import Mode
from pourcoach.recordings.tape import read_tape
from pourcoach.session.classroom.classroom import Classroom
from pourcoach.session.classroom.roster import StationRequest, seated
from pourcoach.session.classroom.station import ALL_MADE
from pourcoach.session.classroom.summary import class_lines
from pourcoach.session.practice.drills import find_drill
from pourcoach.session.practice.shelf import kept_pours
from pourcoach.session.settings import Settings
from pourcoach.sharing.tile import Tile
from tests.practice.driven import short_drill
from tests.reports.made_brew import USUAL_RUBRIC

PLAN = work_out(PlanRequest()).plan
ADDRESS = "sim:learning?speed=60&seed=4"


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURCOACH_HOME", str(tmp_path))
    return tmp_path


def drilled(mode: Mode = Mode.TRAIN) -> Classroom:
    place = StationRequest("1", ADDRESS, "Ada", drill=short_drill())
    return Classroom(seated([place], PLAN, Settings(), mode=mode))


def tile_of_first(room: Classroom) -> Tile:
    (seen,) = room.seen()
    assert seen.tile is not None
    return seen.tile


async def until(holds: Callable[[], bool]) -> None:
    while not holds():  # noqa: ASYNC110 (what is waited for has no event)
        await asyncio.sleep(0.001)


async def one_pour(room: Classroom, estimate: float | None = 38.0) -> list[Tile]:
    """A pour to its end; what the wall showed meanwhile, each another."""
    (station,) = room.stations
    shown: list[Tile] = []
    room.start()
    asked = False
    async with asyncio.timeout(20):
        while room.running:
            (seen,) = room.seen()
            if seen.tile is not None and (not shown or shown[-1].says != seen.tile.says):
                shown.append(seen.tile)
            if station.asks and not asked:
                asked = True
                if estimate is None:
                    station.stop()
                else:
                    room.estimate(estimate, station.name)
            await asyncio.sleep(0.001)
    return shown


async def test_a_pour_is_kept_as_practice_under_its_student() -> None:
    room = drilled()
    shown = await one_pour(room)
    (kept,) = kept_pours("Ada", short_drill().name)
    estimates = [i for i in read_tape(kept.tape).inputs if isinstance(i, SelfEstimate)]
    assert [each.value for each in estimates] == [38.0]
    assert any("Say what you think" in tile.says for tile in shown)
    # The first pour of all is without help and result.
    assert all(tile.weight_g is None for tile in shown if tile.word is Word.POUR)
    assert tile_of_first(room).says.startswith("Kept. No result in this pour.")
    assert room.curve("1") is not None
    assert room.curve("1").points == []  # type: ignore[union-attr]


async def test_pour_follows_pour_with_the_schedules_help_and_its_results() -> None:
    room = drilled()
    await one_pour(room)
    shown = await one_pour(room)
    # A beginner's first block has live help, and a result after each pour.
    assert any(tile.weight_g is not None for tile in shown)
    (done_first, done) = room.stations[0].done
    assert "block 1, pour 1 of" in str(done.drilled)
    assert done_first.drilled != done.drilled
    assert tile_of_first(room).word is Word.DONE
    lines = class_lines(room.stations, USUAL_RUBRIC)
    assert lines[0] == "Drills"
    assert [line.split()[:2] for line in lines[1:]] == [["1:", "Ada"]] * 2


async def test_without_an_estimate_the_pour_is_made_once_more() -> None:
    room = drilled()
    await one_pour(room, None)
    assert tile_of_first(room).says.startswith("No estimate was given")
    await one_pour(room)
    assert "first pour" in str(room.stations[0].done[-1].drilled)


async def test_assistance_shows_everything_and_is_kept_apart() -> None:
    room = drilled(Mode.ASSIST)
    (station,) = room.stations
    room.start()
    async with asyncio.timeout(20):
        while room.running:
            await asyncio.sleep(0.001)
            if station.asks:
                station.stop()
    (kept,) = kept_pours("Ada", short_drill().name)
    assert kept.assignment.mode is Mode.ASSIST


async def test_a_station_turns_from_brew_to_drill_and_back() -> None:
    place = StationRequest("1", "sim:steady", "Ada")
    room = Classroom(seated([place], PLAN, Settings(), drills=[find_drill("landing")]))
    (station,) = room.stations
    room.start()
    async with asyncio.timeout(20):
        await until(lambda: station.curve is not None)
        assert tile_of_first(room).word is not Word.DONE
        room.turn("1")
        await room.over()
        assert tile_of_first(room).says == "Next: the drill Landing. Start it."
        room.start()
        await until(lambda: "Landing, first pour" in tile_of_first(room).says)
        room.turn("1")
        await room.over()
    assert tile_of_first(room).says == "Next: a brew. Start it."
    assert room.stations[0].trouble is None


async def test_what_has_begun_is_not_turned_away_from() -> None:
    room = drilled()
    (station,) = room.stations
    room.start()
    async with asyncio.timeout(20):
        await until(lambda: station.brewing)
        room.turn("1")
        assert station.running
        await room.close()


async def test_a_sitting_that_is_over_says_so() -> None:
    room = drilled()
    (station,) = room.stations
    await one_pour(room)
    course = station._shown._course  # type: ignore[union-attr]
    course._places.clear()
    room.start()
    await room.over()
    assert tile_of_first(room).says == ALL_MADE
    assert station.trouble is None
