"""What a wall knows of each station, and how old it is; no broker and no clock."""

import json
from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.pour import Phase
from pourcoach.domain.printable import json_text
from pourcoach.sharing.heard import MOST_STATIONS, Heard
from pourcoach.sharing.seen import SeenStation, TileAge
from pourcoach.sharing.tile import tile_dict, tile_of
from tests.tui.made_frames import make_frame


def tile(run: str = "a", **changes: Any) -> bytes:
    frame = make_frame(20.0, Word.POUR, 97.3, phase=Phase.POURING)
    return json_text(
        tile_dict(tile_of(frame, 20.0, station="x", at="", run=run)) | changes
    ).encode()


def here(state: str, run: str = "a") -> bytes:
    return json_text({"here": 1, "state": state, "run": run}).encode()


def only(heard: Heard, now_s: float) -> SeenStation:
    (seen,) = heard.seen(now_s)
    return seen


def test_a_tile_is_live_for_two_seconds_and_then_old() -> None:
    heard = Heard()
    heard.take("1", "tile", tile(), 10.0)
    assert only(heard, 12.0).standing is TileAge.LIVE
    seen = only(heard, 12.1)
    assert (seen.standing, seen.age_s) == (TileAge.OLD, pytest.approx(2.1))
    heard.take("1", "tile", tile(), 15.0)
    assert only(heard, 15.1).standing is TileAge.LIVE


def test_a_tile_that_the_broker_kept_is_old_by_nobody_knows_how_much() -> None:
    heard = Heard()
    heard.take("1", "tile", tile(), 10.0, kept=True)
    seen = only(heard, 10.0)
    assert (seen.standing, seen.age_s) == (TileAge.OLD, None)


def test_a_last_will_shows_at_once_and_a_tile_brings_it_back() -> None:
    heard = Heard()
    heard.take("1", "tile", tile(), 10.0)
    heard.take("1", "here", here("gone"), 10.1)
    assert only(heard, 10.1).standing is TileAge.GONE
    heard.take("1", "here", here("here", "b"), 11.0)
    heard.take("1", "tile", tile("b"), 11.0)
    assert only(heard, 11.0).standing is TileAge.LIVE


def test_the_late_will_of_an_earlier_run_means_nothing() -> None:
    heard = Heard()
    heard.take("1", "tile", tile("b"), 10.0)
    heard.take("1", "here", here("gone", "a"), 10.1)
    assert only(heard, 10.1).standing is TileAge.LIVE


def test_two_stations_of_one_name_are_said() -> None:
    heard = Heard()
    for step in range(4):
        heard.take("1", "tile", tile("ab"[step % 2]), 10.0 + step / 10)
    assert "two stations" in (only(heard, 10.4).trouble or "")


def test_a_station_that_began_again_is_not_two() -> None:
    heard = Heard()
    for step in range(8):
        heard.take("1", "tile", tile("a" if step < 4 else "b"), 10.0 + step / 10)
        assert only(heard, 10.8).trouble is None


def test_another_version_is_said_of_its_station_only() -> None:
    heard = Heard()
    heard.take("1", "tile", tile(tile=2), 10.0)
    heard.take("2", "tile", tile(), 10.0)
    first, second = heard.seen(10.0)
    assert "version 2" in (first.trouble or "")
    assert second.trouble is None


@pytest.mark.parametrize("payload", [b"", b"{", b"null", b"\xff", tile(word="HURRY"), b"x" * 99999])
def test_a_hostile_payload_is_counted_and_changes_nothing(payload: bytes) -> None:
    heard = Heard()
    heard.take("1", "tile", tile(), 10.0)
    for kind in ("tile", "finding", "here", "else"):
        heard.take("1", kind, payload, 10.1)
    seen = only(heard, 10.2)
    assert (seen.standing, seen.trouble) == (TileAge.LIVE, None)
    assert heard.refused["1"] == 3


def test_names_without_end_are_bounded() -> None:
    heard = Heard()
    for number in range(MOST_STATIONS + 50):
        heard.take(str(number), "tile", tile(), 10.0)
    assert len(heard.seen(10.0)) == MOST_STATIONS
    assert sum(heard.refused.values()) == 50


def test_a_station_is_known_by_its_topic_and_stations_stand_by_number() -> None:
    heard = Heard()
    for name in ("10", "bar", "2"):
        heard.take(name, "tile", tile(station="1"), 10.0)
    seen = heard.seen(10.0)
    assert [each.name for each in seen] == ["2", "10", "bar"]
    assert [each.tile.station for each in seen if each.tile] == ["2", "10", "bar"]


def test_a_finding_that_came_by_itself_is_shown() -> None:
    heard = Heard()
    message = {"finding": 1, "kind": "stall", "says": "It stopped.", "stage": None, "at_s": 3.0}
    heard.take("1", "tile", tile(), 10.0)
    heard.take("1", "finding", json.dumps(message).encode(), 10.0)
    seen = only(heard, 10.0)
    assert seen.tile is not None
    assert seen.tile.finding is not None
    assert seen.tile.finding.says == "It stopped."
