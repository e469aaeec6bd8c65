"""A hand that answers nothing is not shown a new word or colour every few seconds."""

import pytest

from tests.benchmarks.coaching.unanswered import restless

BEFORE = {2.8: (29.5, 28.8), 4.0: (26.3, 25.6), 7.0: (27.5, 26.2), 9.0: (32.0, 27.2)}
"""Changes of word and of colour a minute of pouring when each word gave way to the next on a
clock: six brews at 10 Hz, as the bench counts."""


@pytest.mark.parametrize("flow_gps", [2.8, 4.0, 7.0])
def test_words_and_colours_change_less_than_half_as_often(flow_gps: float) -> None:
    words, colours = BEFORE[flow_gps]
    now = restless(flow_gps, seed=501)
    assert now.words_per_min < words / 2
    assert now.colours_per_min < colours / 2


def test_a_pour_too_short_for_more_has_its_own_words_and_one_correction() -> None:
    """At 9 g/s stages last 5 to 16 s: POUR, SLOW and STOP, nothing else."""
    words, colours = BEFORE[9.0]
    now = restless(9.0, seed=501)
    assert now.words_per_min < 0.55 * words
    assert now.colours_per_min < colours / 2
