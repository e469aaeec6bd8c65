"""What is said of a cup, as typed."""

from pourcoach.domain.afterwards import Fact, FactKind
from pourcoach.tui.forms.cup_screen import cup_words

NOON = "2026-01-15T12:00:00+00:00"


def test_a_fact_is_kept_only_where_it_is_new() -> None:
    assert cup_words({"coffee": "Washed 7"}, "Washed 7", NOON) == []
    assert cup_words({}, "Washed 7", NOON) == [Fact(FactKind.COFFEE, "", NOON)]
