"""A simulated kettle by commands, one a line."""

from random import Random

import pytest

from pourcoach.cli.console.plain_keys import take_kettle_command
from pourcoach.simulation.kettle import Kettle, KettleModel


class Session:
    def __init__(self, kettle: Kettle | None) -> None:
        self.kettle = kettle


@pytest.fixture
def kettle() -> Kettle:
    return Kettle(KettleModel(lag_s=0.0, tremor=0.0), Random(1))


def test_it_is_tilted_and_refilled(kettle: Kettle) -> None:
    said: list[str] = []
    assert take_kettle_command(Session(kettle), "tilt", "0.8", said.append)
    kettle.step()
    assert kettle.tilt == pytest.approx(0.8)
    assert take_kettle_command(Session(kettle), "refill", "", said.append)
    assert kettle.away
    assert said == []


def test_what_is_no_number_is_reported(kettle: Kettle) -> None:
    said: list[str] = []
    assert take_kettle_command(Session(kettle), "tilt", "much", said.append)
    assert "'much' is no number" in said[0]


def test_other_words_and_other_scales_have_no_such_command(kettle: Kettle) -> None:
    said: list[str] = []
    assert not take_kettle_command(Session(kettle), "go", "", said.append)
    assert not take_kettle_command(Session(None), "tilt", "0.8", said.append)
    assert not take_kettle_command(object(), "tilt", "0.8", said.append)
