"""What is said of a brew afterwards has one wording, wherever it is shown."""

import pytest

from pourcoach.domain.afterwards import (
    Afterword,
    CupNote,
    Fact,
    FactKind,
    Remark,
    RemarkKind,
    StrengthReading,
    Tag,
)
from pourcoach.wording.afterwards import afterword_sentence

AT = "2026-01-15T09:40:00+00:00"


@pytest.mark.parametrize(
    ("word", "sentence"),
    [
        (CupNote(AT, 0.0, 10.0, text="plum"), "Cup: plum"),
        (CupNote(AT, 1.0, 5.0, aroma=4.5), "Cup: aroma 4.5 (of 1 to 5)"),
        (
            CupNote(AT, 0.0, 10.0, aroma=7.0, balance=6.5, text="thin"),
            "Cup: aroma 7, balance 6.5 (of 0 to 10); thin",
        ),
        (StrengthReading(0.0134, 0.0002, None, AT), "Strength: 1.34 ± 0.02 %"),
        (StrengthReading(0.0134, 0.0002, 281.0, AT), "Strength: 1.34 ± 0.02 %, 281 g in the cup"),
        (Remark(RemarkKind.BED, "one side high", AT), "Bed: one side high"),
        (Fact(FactKind.COFFEE, "washed", AT), "Coffee: washed"),
        (Fact(FactKind.COFFEE, "", AT), "Coffee: not named"),
        (Tag("exam", AT, on=False), "Tag: not exam"),
    ],
)
def test_what_is_said_in_a_sentence(word: Afterword, sentence: str) -> None:
    assert afterword_sentence(word) == sentence
