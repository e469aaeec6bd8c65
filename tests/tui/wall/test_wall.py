"""The wall as text: every tile with the word, the weight, the bar and the clock."""

from dataclasses import dataclass, field, replace
from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.pour import Phase
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.seen import SeenStation, TileAge
from pourcoach.sharing.tile import Tile, TileFinding, tile_of
from pourcoach.tui.renderables.block_text import block_text
from pourcoach.tui.renderables.glyphs import ASCII, CP437, FULL
from pourcoach.tui.renderables.palette import DARK, Tone
from pourcoach.tui.wall.draw_tile import draw_tile
from pourcoach.tui.wall.grid import BLOCK_HEIGHT, BLOCK_WIDTH, grid_for
from pourcoach.tui.wall.tile_view import tile_view
from pourcoach.tui.wall.wall_screen import WallScreen
from tests.tui.conftest import text_of
from tests.tui.made_frames import make_frame
from tests.tui.screen_app import ScreenApp


def tile(name: str, word: Word = Word.POUR, **more: Any) -> Tile:
    phase = Phase.WAITING if word is Word.WAIT else Phase.POURING
    countdown_s = 15.0 if word is Word.WAIT else None
    frame = make_frame(20.0, word, 97.3, phase=phase, flow_gps=4.2, countdown_s=countdown_s)
    return tile_of(frame, 20.0, station=name, at="", person=f"Person {name}", **more)


def seen(name: str, word: Word = Word.POUR, standing: TileAge = TileAge.LIVE) -> SeenStation:
    return SeenStation(name, standing, tile(name, word), 0.1)


@dataclass
class FakeBoard:
    """Six stations, moved by the test; notes what is asked of them."""

    stations: list[SeenStation] = field(default_factory=lambda: [seen(str(n)) for n in range(1, 7)])
    notice: str | None = None
    brewing: bool = False
    asked: list[str] = field(default_factory=list)
    asking: set[str] = field(default_factory=set)
    curves: dict[str, StationCurve] = field(default_factory=dict)

    def curve(self, name: str) -> StationCurve | None:
        return self.curves.get(name)

    def seen(self) -> list[SeenStation]:
        return self.stations

    def start(self, name: str | None = None) -> None:
        self.asked.append(f"start {name}")

    def finish(self, name: str | None = None) -> None:
        self.asked.append(f"finish {name}")

    def tare(self, name: str | None = None) -> None:
        self.asked.append(f"tare {name}")

    def note(self, text: str, name: str | None = None) -> None:
        self.asked.append(f"note {name}: {text}")

    def turn(self, name: str | None = None) -> None:
        self.asked.append(f"turn {name}")

    def asks(self, name: str) -> bool:
        return name in self.asking

    def estimate(self, value: float, name: str) -> None:
        self.asked.append(f"estimate {name}: {value}")

    async def close(self) -> None:
        self.asked.append("close")


SIZES = [(100, 30), (80, 24), (160, 50), (238, 70)]


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_six_stations_stand_in_blocks(width: int, height: int) -> None:
    grid = grid_for(6, width, height - 1)
    assert grid.places >= 6
    assert grid.width >= BLOCK_WIDTH
    assert grid.height >= BLOCK_HEIGHT


@pytest.mark.parametrize("count", [1, 2, 7, 12, 20, 64, 200])
@pytest.mark.parametrize(("width", "height"), [*SIZES, (40, 10), (20, 3), (1, 1)])
def test_no_grid_is_larger_than_the_screen(count: int, width: int, height: int) -> None:
    grid = grid_for(count, width, height)
    assert grid.places >= 1
    assert grid.columns == 1 or grid.columns * (grid.width + 1) - 1 <= width
    assert grid.rows == 1 or grid.rows * (grid.height + 1) - 1 <= height


@pytest.mark.parametrize("glyphs", [FULL, CP437, ASCII], ids=["full", "cp437", "ascii"])
@pytest.mark.parametrize("word", Word)
def test_a_tile_has_its_word_in_blocks(word: Word, glyphs: Any) -> None:
    text = draw_tile(tile_view(seen("1", word)), 33, 14, glyphs, DARK).text()
    assert all(row.rstrip() in text for row in block_text(word.value, glyphs, 1, 1))


def test_a_small_tile_has_its_word_as_text() -> None:
    text = draw_tile(tile_view(seen("1")), 24, 3, FULL, DARK).text()
    assert "POUR  97.3 g of" in text
    assert "0:16" in text


def test_names_can_be_hidden() -> None:
    assert tile_view(seen("1")).person == "Person 1"
    assert tile_view(seen("1"), names=False).person == ""


def test_while_waiting_the_countdown_takes_the_weights_place() -> None:
    view = tile_view(seen("1", Word.WAIT))
    assert (view.figure, view.caption) == ("0:15", "97.3 g poured")


@pytest.mark.parametrize(("standing", "word"), [(TileAge.OLD, "OLD"), (TileAge.GONE, "GONE")])
def test_a_tile_that_says_nothing_of_now(standing: TileAge, word: str) -> None:
    view = tile_view(SeenStation("1", standing, tile("1"), 4.4))
    assert (view.word, view.figure, view.off_g) == (word, "--.-", None)
    assert view.says == "Last 4 s ago: POUR 97 g"


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ("2026-01-15T09:30:00+00:00", "Last 2026-01-15 "),
        ("yesterday", "Last at a time that is not known: POUR"),
        ("9999-12-31T23:59:59-12:00", "Last "),
    ],
)
def test_a_tile_that_the_broker_kept_is_dated_by_its_station(at: str, said: str) -> None:
    kept = replace(tile("1"), at=at)
    assert tile_view(SeenStation("1", TileAge.OLD, kept, None)).says.startswith(said)


def test_trouble_takes_the_tile() -> None:
    view = tile_view(SeenStation("1", TileAge.LIVE, tile("1"), 0.1, "there is no such port"))
    assert (view.word, view.tone, view.says) == ("SCALE?", Tone.ACT, "There is no such port")


@pytest.mark.parametrize("size", SIZES)
async def test_the_wall_shows_all_stations(size: tuple[int, int]) -> None:
    board = FakeBoard()
    board.stations[4] = SeenStation("5", TileAge.LIVE, tile("5", stale=True), 3.0)
    async with ScreenApp(WallScreen(board, board)).run_test(size=size) as pilot:
        await pilot.pause()
        text = text_of(pilot.app)
    for number in range(1, 7):
        assert f"{number}  Person {number}" in text
    assert text.count("0:16") == 6
    assert board.asked == ["start None"]


async def test_the_newest_finding_is_shown() -> None:
    board = FakeBoard()
    finding = TileFinding("stall", "The water stopped for 2 s.", "bloom", 12.0)
    noted = replace(tile("1"), finding=finding)
    board.stations[0] = SeenStation("1", TileAge.LIVE, noted, 0.1)
    async with ScreenApp(WallScreen(board, board)).run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        assert "! The water stopped for 2 s." in text_of(pilot.app)


async def test_keys_mean_all_or_the_selected_station() -> None:
    board = FakeBoard()
    app = ScreenApp(WallScreen(board, board))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("t")
        await pilot.press("right", "right", "s", "t")
        await pilot.press("n", *"hot", "enter")
        await pilot.press("f", "n", "f", "y", "escape", "s")
        await pilot.pause()
    assert board.asked == [
        "start None",
        "tare None",
        "start 2",
        "tare 2",
        "note 2: hot",
        "finish 2",
        "start None",
    ]


async def test_one_station_whole_and_all_again() -> None:
    board = FakeBoard()
    async with ScreenApp(WallScreen(board, board)).run_test(size=(100, 30)) as pilot:
        await pilot.press("down", "down", "space")
        text = text_of(pilot.app)
        assert "4  Person 4" in text
        assert "Person 1" not in text
        await pilot.press("escape", "h")
        assert "Person" not in text_of(pilot.app)
        assert "Hide names" not in text_of(pilot.app)


async def test_leaving_asks_while_somebody_brews_and_saves_all() -> None:
    board = FakeBoard(brewing=True)
    app = ScreenApp(WallScreen(board, board))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("q", "n")
        assert "close" not in board.asked
        await pilot.press("q", "y")
        await pilot.pause()
        assert app.left
    assert board.asked[-1] == "close"


async def test_other_machines_stations_are_only_looked_at() -> None:
    long = "No connection to the broker: " + "it does not answer, " * 5
    board = FakeBoard(notice=f"{long}and that is all.")
    app = ScreenApp(WallScreen(board, None))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("s", "f", "t", "n")
        assert "and that is all." in text_of(pilot.app)
        await pilot.press("q")
        await pilot.pause()
        assert app.left
    assert board.asked == []


async def test_many_stations_go_over_pages() -> None:
    board = FakeBoard([seen(str(number)) for number in range(1, 201)])
    async with ScreenApp(WallScreen(board, None)).run_test(size=(100, 30)) as pilot:
        await pilot.press("left")
        text = text_of(pilot.app)
        assert "200  Person 200" in text
        assert "1  Person 1 " not in text


async def test_texts_from_outside_stay_in_their_tile() -> None:
    board = FakeBoard()
    evil = "[bold]x[/] <b>\u202e"
    board.stations[0] = SeenStation(evil, TileAge.LIVE, tile("1"), 0.1, evil)
    async with ScreenApp(WallScreen(board, board)).run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        assert "[bold]x[/] <b>" in text_of(pilot.app)


async def test_an_estimate_is_typed_for_the_station_that_waits_for_it() -> None:
    board = FakeBoard(asking={"3"})
    async with ScreenApp(WallScreen(board, board)).run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        assert "e Estimate of 3" in text_of(pilot.app)
        await pilot.press("e", *"38", "full_stop", "5", "enter")
        await pilot.press("e", *"much", "enter")
        await pilot.press("e", "escape")
        board.asking = {"2", "3"}
        await pilot.press("e")  # of whom?
        await pilot.press("right", "right", "e", *"40", "enter")
        await pilot.pause()
    assert board.asked[1:] == ["estimate 3: 38.5", "estimate 2: 40.0"]


async def test_stations_are_turned_to_another_task() -> None:
    board = FakeBoard()
    async with ScreenApp(WallScreen(board, board)).run_test(size=(100, 30)) as pilot:
        await pilot.press("d", "right", "d")
    assert board.asked[1:] == ["turn None", "turn 1"]
