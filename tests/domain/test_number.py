import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("33.6", 33.6),
        ("33,6", 33.6),
        (" 20 ", 20.0),
        (".5", 0.5),
        (",5", 0.5),
        ("5.", 5.0),
        ("-1,5", -1.5),
        ("−1.5", -1.5),
        ("+2", 2.0),
        ("1e3", 1000.0),
        ("0,125", 0.125),
        ("1234,5", 1234.5),
        ("1600,125", 1600.125),
    ],
)
def test_a_number_has_a_point_or_a_comma(text: str, value: float) -> None:
    assert read_number(text) == value


@pytest.mark.parametrize("text", ["", "x", "nan", "inf", "1_000", "1 000", "1,2,3", "1.2.3", "٣"])
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match=r"is no number; write it as 33\.6 or 33,6"):
        read_number(text)


@pytest.mark.parametrize("text", ["1,600", "12,345", "-1,600"])
def test_a_comma_that_may_part_thousands_is_asked_about(text: str) -> None:
    with pytest.raises(UsageError, match="can mean"):
        read_number(text)
