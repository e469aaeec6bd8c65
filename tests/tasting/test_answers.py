from dataclasses import replace
from typing import Any

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.tasting.answers import Tasting, read_tasting, tasting_dict
from pourcoach.tasting.method import Method


def made(method: Method, **more: Any) -> Tasting:
    return Tasting(method, "one", "two", tasters=6, seed=5, **more)


def answered(tasting: Tasting, letters: str) -> Tasting:
    """Taster by taster: r for the right code, w for a wrong one."""
    answers = {}
    for sheet, letter in zip(tasting.sheets, letters, strict=True):
        right = tasting.right(sheet)
        wrong = next(code for code in sheet.codes if code != right)
        answers[sheet.taster] = str(right) if letter == "r" else wrong
    return replace(tasting, answers=answers)


@pytest.mark.parametrize("method", [Method.TRIANGLE, Method.DUO_TRIO])
def test_right_answers_are_counted(method: Method) -> None:
    found = answered(made(method), "rrwrrw").result()
    assert found is not None
    assert (found.correct, found.of) == (4, 6)


def test_the_odd_cup_is_the_right_one() -> None:
    tasting = made(Method.TRIANGLE)
    for sheet in tasting.sheets:
        odd = sheet.sample(str(tasting.right(sheet)))
        assert sheet.order.count(str(odd)) == 1


def test_the_cup_like_the_reference_is_the_right_one() -> None:
    tasting = made(Method.DUO_TRIO)
    assert all(
        sheet.sample(str(tasting.right(sheet))) == sheet.reference for sheet in tasting.sheets
    )


def test_a_comparison_without_expectation_counts_choices_of_a_and_has_two_sides() -> None:
    tasting = made(Method.PAIRED)
    answers = {sheet.taster: sheet.codes[sheet.order.index("A")] for sheet in tasting.sheets}
    found = replace(tasting, answers=answers).result()
    assert found is not None
    assert (found.correct, found.two_sided) == (6, True)


def test_an_expected_sample_is_the_right_one() -> None:
    found = answered(made(Method.PAIRED, expected="B", quality="sweeter"), "rrrrrr").result()
    assert found is not None
    assert (found.correct, found.two_sided) == (6, False)


def test_nobody_has_answered() -> None:
    assert made(Method.TRIANGLE).result() is None


@pytest.mark.parametrize("method", Method)
def test_what_is_written_is_read_back(method: Method) -> None:
    tasting = replace(made(method), answers={2: made(method).sheets[1].codes[0]})
    assert read_tasting(tasting_dict(tasting)) == tasting


@pytest.mark.parametrize(
    "change",
    [
        {"pourcoach_tasting": 2},
        {"test": "guess"},
        {"a": ""},
        {"a": "two"},
        {"tasters": 0},
        {"tasters": "many"},
        {"seed": -1},
        {"expected": "C"},
        {"expected": "A"},
        {"quality": "sour"},
        {"answers": {"1": "000"}},
        {"answers": {"99": "123"}},
        {"answers": {"1": ["123"]}},
        {"answers": ["123"]},
        {"answers": "123"},
    ],
)
def test_what_is_no_tasting_is_refused(change: dict[str, Any]) -> None:
    with pytest.raises(UsageError):
        read_tasting(tasting_dict(made(Method.TRIANGLE)) | change)


def test_a_tasting_of_a_later_version_is_called_that() -> None:
    later = tasting_dict(made(Method.TRIANGLE)) | {"pourcoach_tasting": 2}
    with pytest.raises(UsageError, match=r"pourcoach_tasting is 2; this program reads version 1"):
        read_tasting(later)


@pytest.mark.parametrize("data", [None, [], "x", 3, {}])
def test_other_documents_are_refused(data: Any) -> None:
    with pytest.raises(UsageError, match="no tasting"):
        read_tasting(data)
