"""Whole numbers as options: plain digits within bounds."""

import argparse

import pytest

from pourcoach.cli.main import WRONG_USE, main
from pourcoach.cli.options.whole_number import whole_number


@pytest.mark.parametrize(("text", "number"), [("1", 1), ("12", 12), ("007", 7), ("100", 100)])
def test_what_is_within_the_bounds_is_taken(text: str, number: int) -> None:
    assert whole_number(1, 100)(text) == number


@pytest.mark.parametrize("text", ["", "x", "0", "101", "-1", "+1", "1.0", "1_0", "٣", "9" * 5000])
def test_all_else_is_refused_with_the_bounds(text: str) -> None:
    with pytest.raises(
        argparse.ArgumentTypeError, match=r"is no whole number from 1 to 100$"
    ) as no:
        whole_number(1, 100)(text)
    assert len(str(no.value)) < 100


@pytest.mark.parametrize(
    "args",
    [
        ["practise", "steady", "--seed"],
        ["practise", "steady", "--pours"],
        ["sessions", "rebuild", "--cores"],
        ["simulate", "--seed"],
        ["taste", "new", "--tasters"],
        ["taste", "result", "--of"],
    ],
    ids=" ".join,
)
def test_every_option_answers_alike(args: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*args, "x"]) == WRONG_USE
    assert "'x' is no whole number from " in capsys.readouterr().err
