"""Decimal commas on every command that takes numbers."""

import pytest

from pourcoach.cli.main import main


@pytest.mark.parametrize(
    ("comma", "point"),
    [
        ("plan --dose 18,5 --ratio 16,2 --temperature 93,5",
         "plan --dose 18.5 --ratio 16.2 --temperature 93.5"),
        ("strength --dose 20,1 --beverage 281,5 --tds 1,34",
         "strength --dose 20.1 --beverage 281.5 --tds 1.34"),
        ("strength --dose 20 --beverage 281 --tds 1,3 --earlier 19,5;1,32",
         "strength --dose 20 --beverage 281 --tds 1.3 --earlier 19.5,1.32"),
        ("temperature --altitude 1600,5 --aim 201,2F",
         "temperature --altitude 1600.5 --aim 201.2F"),
        ("water check --ph 7,4 --hardness 33,6fH", "water check --ph 7.4 --hardness 33.6fH"),
        ("water dose --with baking-soda@9,5 --alkalinity 40 --litres 1,5",
         "water dose --with baking-soda@9.5 --alkalinity 40 --litres 1.5"),
        ("advise --tds 1,1 --dose 20 --beverage 280 --time 2:10,5 --planned-time 190",
         "advise --tds 1.1 --dose 20 --beverage 280 --time 2:10.5 --planned-time 190"),
    ],
)  # fmt: skip
def test_a_comma_is_a_point(comma: str, point: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(point.split()) == 0
    by_point = capsys.readouterr().out
    assert main(comma.split()) == 0
    assert capsys.readouterr().out == by_point


def test_the_option_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["temperature", "--altitude", "1,600"]) == 2
    err = capsys.readouterr().err
    assert err.startswith("pourcoach: argument --altitude: '1,600' can mean 1600 or 1.600")
