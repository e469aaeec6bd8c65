import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import is_number, number_in, read_number


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


@pytest.mark.parametrize("value", [True, False, None, "3", [3], float("nan")])
def test_a_file_may_hold_what_is_no_number(value: object) -> None:
    assert not is_number(value)
    with pytest.raises(UsageError, match=r"the dose is .*; make it a number"):
        number_in(value, "the dose")


def test_what_is_not_there_is_called_missing() -> None:
    with pytest.raises(UsageError, match="the dose is missing; make it a number"):
        number_in(None, "the dose")


@pytest.mark.parametrize("value", [-0.1, 10.1, float("inf")])
def test_a_number_has_its_bounds(value: float) -> None:
    with pytest.raises(UsageError, match="use 0 to 10"):
        number_in(value, "the dose", least=0.0, most=10.0, remedy="use 0 to 10")


def test_a_whole_number_becomes_a_float() -> None:
    assert number_in(3, "the dose") == 3.0
    assert isinstance(number_in(3, "the dose"), float)


def test_what_a_file_holds_is_named_in_short() -> None:
    with pytest.raises(UsageError) as refusal:
        number_in("x" * 10_000, "the dose")
    assert len(str(refusal.value)) < 120
