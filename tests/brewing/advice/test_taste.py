import pytest

from pourcoach.brewing.advice.taste import Taste, taste, tastes_in
from pourcoach.domain.errors import UsageError


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("sour", Taste.SOUR),
        (" Sharp ", Taste.SOUR),
        ("astringent", Taste.DRYING),
        ("WATERY", Taste.THIN),
        ("good", Taste.BALANCED),
        *((one.value, one) for one in Taste),
    ],
)
def test_words(word: str, meant: Taste) -> None:
    assert taste(word) is meant


def test_an_unknown_word_is_refused_with_the_known_ones() -> None:
    with pytest.raises(UsageError, match="known words are sour, bitter"):
        taste("purple")


@pytest.mark.parametrize(
    ("remark", "tastes"),
    [
        ("sour, thin", {Taste.SOUR, Taste.THIN}),
        ("bitter", {Taste.BITTER}),
        ("weak; watery", {Taste.THIN}),
        ("not bitter at all", set()),
        ("", set()),
    ],
)
def test_only_plain_words_are_read_from_a_remark(remark: str, tastes: set[Taste]) -> None:
    assert tastes_in(remark) == tastes
