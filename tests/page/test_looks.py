"""What browsers are sent: only what has changed."""

import json
import re
from importlib.resources import files
from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.page.looks import Looks
from pourcoach.sharing.curve import MOST_POINTS
from pourcoach.sharing.seen import SeenStation, TileAge
from tests.page.boards import pouring


def message(looks: Looks, since: int) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(looks.since(since))
    return data


def test_a_new_browser_is_sent_everything() -> None:
    looks = Looks()
    looks.take([pouring("1"), pouring("2")], "The broker is gone.")
    data = message(looks, 0)
    assert (data["order"], data["notice"]) == (["1", "2"], "The broker is gone.")
    assert [station["name"] for station in data["stations"]] == ["1", "2"]
    assert data["stations"][0]["tile"]["word"] == "POUR"
    assert data["stations"][0]["plan"][0] == [0.0, 0.0]
    assert data["traces"]["1"] == [[19.5, 97.3, pytest.approx(95, abs=60)]]


def test_afterwards_only_what_changed() -> None:
    looks = Looks()
    looks.take([pouring("1"), pouring("2")], None)
    first = looks.number
    looks.take([pouring("1"), pouring("2", 99.0)], None)
    data = message(looks, first)
    assert [station["name"] for station in data["stations"]] == ["2"]
    assert not {"order", "traces", "notice"} & set(data)


def test_where_nothing_changes_there_is_no_new_look() -> None:
    looks = Looks()
    assert looks.take([pouring()], None)
    number = looks.number
    assert not looks.take([pouring()], None)
    assert (looks.number, message(looks, number)["stations"]) == (number, [])


def test_stations_that_come_and_go_are_reported() -> None:
    looks = Looks()
    looks.take([pouring("1")], None)
    number = looks.number
    looks.take([pouring("1"), pouring("2")], None)
    assert message(looks, number)["order"] == ["1", "2"]
    number = looks.number
    looks.take([pouring("2")], None)
    assert message(looks, number)["order"] == ["2"]


def test_names_stay_here_unless_they_may_be_seen() -> None:
    for names, expected in ((False, None), (True, "Ada")):
        looks = Looks(names=names)
        looks.take([pouring(person="Ada")], None)
        assert message(looks, 0)["stations"][0]["tile"]["person"] == expected
    hidden = Looks()
    hidden.take([pouring(person="Ada")], None)
    assert "Ada" not in hidden.since(0)


def test_a_curve_goes_back_with_a_replay_and_begins_anew_with_a_brew() -> None:
    looks = Looks()
    for grams in (10.0, 20.0, 30.0):
        looks.take([pouring(grams=grams)], None)
    looks.take([pouring(grams=20.0)], None)
    assert [point[1] for point in message(looks, 0)["traces"]["1"]] == [10.0, 20.0]
    looks.take([SeenStation("1", TileAge.LIVE)], None)
    assert message(looks, 0)["traces"]["1"] == []


def test_a_curve_is_bounded() -> None:
    looks = Looks()
    for step in range(MOST_POINTS + 10):
        looks.take([pouring(grams=2.0 * step)], None)
    assert len(message(looks, 0)["traces"]["1"]) == MOST_POINTS


def test_markup_and_escapes_stay_text() -> None:
    looks = Looks()
    looks.take([SeenStation("</script><b>\x1b[2J", TileAge.LIVE, trouble="\u202e<img>")], None)
    text = looks.since(0)
    assert text.isprintable()
    assert message(looks, 0)["order"] == ["</script><b>\x1b[2J"]


def test_every_word_has_its_mark_in_the_browser() -> None:
    script = files("pourcoach.page").joinpath("static/page.js").read_text(encoding="utf-8")
    (marks,) = re.findall(r"const MARKS = \{(.*?)\};", script, re.DOTALL)
    assert {word.value for word in Word} <= set(re.findall(r'"([A-Z?]+)":', marks))
