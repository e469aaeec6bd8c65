"""The message: made in one place, described by a schema, judged before it is shown."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pourcoach.sharing
from pourcoach.domain.advice import CueState, Flag, FlagKind, Word
from pourcoach.domain.errors import UsageError
from pourcoach.domain.pour import Phase
from pourcoach.domain.printable import json_text
from pourcoach.sharing.tile import Tile, tile_dict, tile_of
from pourcoach.sharing.tile_reader import LONGEST_MESSAGE, OtherVersionError, read_tile
from tests.tui.made_frames import make_frame

AT = "2026-01-15T09:30:00.000+00:00"
SCHEMA = json.loads(
    (Path(pourcoach.sharing.__file__).parent / "tile.schema.json").read_text(encoding="utf-8")
)


def pouring(**more: Any) -> Tile:
    frame = make_frame(20.0, Word.MORE, 100.0, phase=Phase.POURING, flow_gps=4.2)
    flag = Flag(FlagKind.STALL, 12.0, 14.0, "bloom", 0.9, {"lasted_s": 2.0})
    frame = frame._replace(flags=(flag,))
    return tile_of(frame, 20.5, station="1", at=AT, run="ab12", number=7, **more)


def sent(made: Tile, /, **changes: Any) -> bytes:
    return json_text(tile_dict(made) | changes).encode()


def test_a_tile_says_what_the_frame_says() -> None:
    frame = make_frame(20.0, Word.MORE, 100.0, phase=Phase.POURING, flow_gps=4.2)
    tile = pouring()
    assert (tile.word, tile.state, tile.weight_g) == (Word.MORE, CueState.UNDER, 100.0)
    assert tile.time_s == pytest.approx((frame.pour.brew_s or 0.0) + 0.5)
    assert (tile.stage, tile.link, tile.person) == ("pour 1", True, None)
    assert tile.finding is not None
    assert tile.finding.kind == "stall"


def test_a_lost_scale_shows_no_frozen_number() -> None:
    tile = pouring(stale=True, notice="The cable is out")
    assert (tile.word, tile.weight_g, tile.off_g, tile.flow_gps) == (Word.SCALE, None, None, None)
    assert tile.says == "The cable is out"
    assert not tile.link


def test_before_the_first_reading() -> None:
    tile = tile_of(None, 0.0, station="1", at=AT)
    assert (tile.word, tile.weight_g, tile.link) == (Word.SCALE, None, False)


def test_a_name_stays_out_unless_it_is_given() -> None:
    assert "Ada" not in sent(pouring()).decode()
    assert pouring(person="Ada").person == "Ada"


@pytest.mark.parametrize("tile", [pouring(), pouring(stale=True, notice="x", person="Ada")])
def test_what_is_sent_is_read_back(tile: Tile) -> None:
    read = read_tile(sent(tile))
    assert tile_dict(read) == tile_dict(tile)


def test_unknown_keys_are_passed_over() -> None:
    assert read_tile(sent(pouring(), colour="red")) == read_tile(sent(pouring()))


def test_the_schema_describes_what_is_sent() -> None:
    message = tile_dict(pouring())
    assert set(SCHEMA["properties"]) == set(message)
    assert set(SCHEMA["properties"]["finding"]["properties"]) == set(message["finding"])
    assert SCHEMA["properties"]["word"]["enum"] == [word.value for word in Word]
    assert SCHEMA["properties"]["state"]["enum"] == [state.value for state in CueState]
    assert SCHEMA["properties"]["phase"]["enum"] == [phase.value for phase in Phase]


@pytest.mark.parametrize(
    "changes",
    [
        {"word": "HURRY"},
        {"word": None},
        {"word": ["POUR"]},
        {"phase": 3},
        {"state": "lost?"},
        {"station": 1},
        {"says": None},
        {"weight_g": "12"},
        {"weight_g": 1e9},
        {"weight_g": True},
        {"band_g": -1},
        {"number": -1},
        {"number": None},
        {"finding": "stall"},
        {"finding": {"kind": "stall"}},
        {"finding": {"kind": "stall", "says": "x", "at_s": "now"}},
    ],
)
def test_what_is_no_tile_is_refused(changes: dict[str, Any]) -> None:
    with pytest.raises(UsageError):
        read_tile(sent(pouring(), **changes))


@pytest.mark.parametrize(
    "payload",
    [
        b"",
        b"null",
        b"[1]",
        b"{}",
        b"\xff\xfe",
        b"[" * 9000,
        b'{"tile": NaN}',
        b'{"tile": 1, "weight_g": Infinity}',
        b" " * (LONGEST_MESSAGE + 1),
        b'{"tile": 1' + b"0" * 400 + b"}",
    ],
)
def test_rubbish_is_refused(payload: bytes) -> None:
    with pytest.raises(UsageError):
        read_tile(payload)


@pytest.mark.parametrize("version", [0, 2, "1", True, [1]])
def test_another_version_is_refused_as_such(version: Any) -> None:
    with pytest.raises(OtherVersionError, match="version"):
        read_tile(sent(pouring(), tile=version))


@given(st.binary(max_size=200), st.integers(0, 500))
def test_no_payload_does_more_than_be_refused(data: bytes, at: int) -> None:
    whole = sent(pouring())
    for payload in (data, whole[:at] + data + whole[at:]):
        try:
            read_tile(payload)
        except UsageError:
            continue


def test_texts_from_outside_are_only_ever_shown() -> None:
    evil = "\x1b[2J<script>alert(1)</script>\u202eabc" + "x" * 2000
    read = read_tile(sent(pouring(), says=evil, station=evil, next=evil, person=evil))
    for text in (read.says, read.station, read.next, read.person or ""):
        assert text.isprintable()
        assert len(text) <= 300


def test_a_station_name_is_bounded() -> None:
    tile = replace(pouring(), station="s" * 500)
    assert len(read_tile(sent(tile)).station) == 80
