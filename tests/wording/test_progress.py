"""What was learnt, in sentences."""

from dataclasses import replace

import pytest

from pourcoach.practice.drill.measure import PourMeasure
from pourcoach.practice.progress.next_drill import Because, NextDrill
from pourcoach.practice.progress.progress import nothing_yet
from pourcoach.wording.progress import next_sentence, progress_sentences


def test_the_next_drill_is_named_with_its_reason_in_figures() -> None:
    assert next_sentence(NextDrill("steady", Because.MOST_OFF, 1.64)) == (
        "Next: steady, for its test errors are 1.6 times its band, the most."
    )
    assert next_sentence(NextDrill("landing", Because.NEVER)) == (
        "Next: landing, for it was never practised."
    )


def test_without_a_drill_there_is_none_next() -> None:
    assert next_sentence(None) == "There is no drill to practise."


@pytest.mark.parametrize(
    ("asks", "first", "lately"),
    [(PourMeasure.MASS, "15.0 g", "5.0 g"), (PourMeasure.FLOW, "15.00 g/s", "5.00 g/s")],
)
def test_estimates_are_off_in_the_unit_of_what_was_asked(
    asks: PourMeasure, first: str, lately: str
) -> None:
    found = nothing_yet("steady", PourMeasure.EVENNESS)
    found = replace(found, estimates=(20.0, -10.0, 4.0, -6.0), asks=asks)
    sentence = f"Your estimates were off by {first} at first and by {lately} lately."
    assert sentence in progress_sentences(found)
    assert "Practice: 0 pours. With all help: 0 pours." in progress_sentences(found)
