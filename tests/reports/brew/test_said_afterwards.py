"""What was said after a brew, as the page shows it."""

from pourcoach.domain.afterwards import (
    CupNote,
    Fact,
    FactKind,
    Remark,
    RemarkKind,
    StrengthReading,
    Tag,
)
from pourcoach.reports.brew.said_afterwards import said_sentences

AT = "2026-01-15T09:40:00+00:00"


CUP = CupNote(AT, 0.0, 10.0, text="x")


def test_the_newest_fact_holds_and_the_rest_is_in_order() -> None:
    assert said_sentences(
        [
            Fact(FactKind.COFFEE, "washed, hill farm", AT),
            Tag("fast", AT),
            Tag("exam", AT),
            Tag("fast", AT, on=False),
            CupNote(AT, 0.0, 10.0, aroma=7.0, balance=6.5, text="a little thin"),
            StrengthReading(0.0134, 0.0002, 281.0, AT),
            Remark(RemarkKind.BED, "one side high", AT),
            Remark(RemarkKind.TASTE, "sour", AT),
            Fact(FactKind.COFFEE, "natural, valley farm", AT),
        ]
    ) == [
        "Coffee: natural, valley farm",
        "Tags: exam",
        "Cup: aroma 7, balance 6.5 (of 0 to 10); a little thin",
        "Strength: 1.34 ± 0.02 %, 281 g in the cup",
        "Bed: one side high",
        "Taste: sour",
    ]


def test_what_was_taken_back_is_gone() -> None:
    words = [Fact(FactKind.WATER, "tap", AT), Fact(FactKind.WATER, "", AT), CUP]
    assert said_sentences(words) == ["Cup: x"]


def test_a_tag_is_one_however_it_is_spelled() -> None:
    fast = Tag("fast", AT)
    assert said_sentences([fast, Tag("FAST", AT)]) == ["Tags: FAST"]
    assert said_sentences([fast, Tag("Fast", AT, on=False), CUP]) == ["Cup: x"]
