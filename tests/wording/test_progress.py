"""What was learnt, in sentences."""

from pourcoach.practice.progress.next_drill import Because, NextDrill
from pourcoach.wording.progress import next_sentence


def test_the_next_drill_is_named_with_its_reason_in_figures() -> None:
    assert next_sentence(NextDrill("steady", Because.MOST_OFF, 1.64)) == (
        "Next: steady, for its test errors are 1.6 times its band, the most."
    )
    assert next_sentence(NextDrill("landing", Because.NEVER)) == (
        "Next: landing, for it was never practised."
    )


def test_without_a_drill_there_is_none_next() -> None:
    assert next_sentence(None) == "There is no drill to practise."
