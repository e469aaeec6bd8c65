"""What is said of an answer: kept, and whether advice can do anything with its words."""

import pytest

from pourcoach.tui.review.remark_questions import QUESTIONS


@pytest.mark.parametrize(
    ("what", "answer"),
    [
        ("note", "my own words"),
        ("taste", "Sour, thin"),
        ("taste", "bitter; worse"),
        ("changed", "hotter"),
        ("changed", "Hotter, worse"),
        ("changed", "half-finer"),
        ("changed", "nothing"),
        # Nothing but that it was worse names no change that advice might not know.
        ("changed", "worse"),
    ],
)
def test_words_that_are_known_are_kept_without_more(what: str, answer: str) -> None:
    question = QUESTIONS[what]
    assert question.said_of(answer) == question.done


@pytest.mark.parametrize(
    ("what", "answer", "known"),
    [
        ("taste", "like tea", "sour, bitter"),
        ("taste", "worse", "sour, bitter"),
        ("changed", "another kettle", "hotter, cooler"),
    ],
)
def test_other_words_are_kept_with_those_that_advice_knows(
    what: str, answer: str, known: str
) -> None:
    question = QUESTIONS[what]
    said = question.said_of(answer)
    assert said.startswith(f"{question.done} Advice knows other words: {known}")
