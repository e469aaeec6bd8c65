"""Flags in words: figures said, nothing claimed that a scale cannot know."""

from dataclasses import replace

import pytest

from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.wording import RECORDS, flag_sentence, flag_title, flag_words

EVIDENCE = {
    FlagKind.UNEVEN: {"flow_cv": 0.31, "flow_cv_error": 0.01, "allowed_cv": 0.2},
    FlagKind.STALL: {"lasted_s": 2.04, "lowest_gps": 0.0, "usual_gps": 5.0},
    FlagKind.SURGE: {"lasted_s": 1.2, "highest_gps": 9.5, "usual_gps": 5.1},
    FlagKind.OVERSHOOT: {"off_g": 12.4, "mark_g": 180.0, "reached_g": 192.4, "allowed_g": 9.0},
    FlagKind.SHORT: {"off_g": -12.4, "mark_g": 180.0, "reached_g": 167.6, "allowed_g": 9.0},
    FlagKind.BLOOM_LIGHT: {"off_g": -15.0, "mark_g": 40.0, "reached_g": 25.0, "allowed_g": 8.0},
    FlagKind.BLOOM_HEAVY: {"off_g": 15.0, "mark_g": 40.0, "reached_g": 55.0, "allowed_g": 8.0},
    FlagKind.BLOOM_SHORT: {"off_s": -15.0, "begun_s": 20.0, "planned_s": 35.0, "allowed_s": 5.0},
    FlagKind.BLOOM_LONG: {"off_s": 30.0, "begun_s": 65.0, "planned_s": 35.0, "allowed_s": 15.0},
    FlagKind.FAST_POUR: {"flow_gps": 7.0, "planned_gps": 5.0, "off_g": 40.0, "allowed_gps": 0.85},
    FlagKind.SLOW_POUR: {"flow_gps": 2.8, "planned_gps": 5.0, "off_g": -61.0, "allowed_gps": 0.85},
    FlagKind.EARLY: {"off_s": -12.0, "begun_s": 68.0, "planned_s": 80.0, "allowed_s": 8.0},
    FlagKind.LATE: {"off_s": 12.0, "begun_s": 92.0, "planned_s": 80.0, "allowed_s": 8.0},
    FlagKind.SLOW_DRAIN: {"brew_s": 250.0, "planned_s": 190.0, "allowed_share": 0.25},
    FlagKind.LIFTED: {"lasted_s": 4.0, "down_g": 380.0},
    FlagKind.DISTURBED: {"lasted_s": 0.8, "jump_g": 0.0},
    FlagKind.GAP: {"lasted_s": 2.3},
}
SAID = {
    FlagKind.UNEVEN: "31 %",
    FlagKind.STALL: "2.0 s",
    FlagKind.SURGE: "9.5 g/s",
    FlagKind.OVERSHOOT: "Pour 1 ended 12 g beyond its mark of 180 g.",
    FlagKind.SHORT: "Pour 1 ended 12 g below its mark of 180 g.",
    FlagKind.BLOOM_LIGHT: "25 g of 40 g",
    FlagKind.BLOOM_HEAVY: "55 g of 40 g",
    FlagKind.BLOOM_SHORT: "began 0:20 after the first water, planned was 0:35",
    FlagKind.BLOOM_LONG: "began 1:05 after the first water, planned was 0:35",
    FlagKind.FAST_POUR: "Pour 1 was poured at 7.0 g/s, planned were 5.0 g/s.",
    FlagKind.SLOW_POUR: "Pour 1 was poured at 2.8 g/s, planned were 5.0 g/s.",
    FlagKind.EARLY: "12 s before its time",
    FlagKind.LATE: "12 s after its time",
    FlagKind.SLOW_DRAIN: "4:10 to drain, planned was 3:10",
    FlagKind.LIFTED: "lifted for 4.0 s in pour 1: 380 g went and came back",
    FlagKind.DISTURBED: "touched the scale for 0.8 s in pour 1",
    FlagKind.GAP: "No reading came for 2.3 s",
}
OF_THE_HAND = [kind for kind in FlagKind if RECORDS[kind].gravity]


def flag(kind: FlagKind) -> Flag:
    return Flag(kind, 10.0, 20.0, "pour 1", 0.9, EVIDENCE[kind], refined=True)


@pytest.mark.parametrize("kind", FlagKind)
def test_every_flag_says_its_figures(kind: FlagKind) -> None:
    assert SAID[kind] in flag_sentence(flag(kind))


def test_every_kind_has_its_record_and_leads_the_review_or_says_that_it_never_does() -> None:
    assert set(RECORDS) == set(FlagKind)
    assert all(bool(record.headline) == (record.gravity > 0.0) for record in RECORDS.values())
    assert not {kind for kind in FlagKind if not RECORDS[kind].title}


def test_what_may_be_a_lean_is_said_to_be_open() -> None:
    evidence = {"lasted_s": 4.4, "jump_g": 0.0, "missing_g": 6.8}
    words = flag_words(Flag(FlagKind.DISTURBED, 80.0, 84.4, "pour 1", 0.5, evidence))
    assert (
        words.measured == "About 7 g too little and as much too much came within 4.4 s in pour 1."
    )
    assert "may have leaned on the scale, or the flow stalled" in words.suggests


def test_what_no_reading_shows_is_said_to_be_open() -> None:
    evidence = {"lasted_s": 1.2, "jump_g": 0.0, "unclear_s": 1.2}
    words = flag_words(Flag(FlagKind.DISTURBED, 80.0, 81.2, "pour 1", 0.5, evidence))
    assert words.measured == "Too few readings show the flow for 1.2 s in pour 1."
    assert words.suggests == "It may have stalled or surged, or gone on as it was."
    assert words.try_this == ""


def test_what_may_have_been_a_hand_is_said_to_be_open() -> None:
    evidence = {"lasted_s": 4.0, "jump_g": 0.0, "pressed_g": 35.2}
    words = flag_words(Flag(FlagKind.DISTURBED, 5.0, 9.0, "bloom", 0.2, evidence))
    assert words.measured == (
        "A hand may have pressed in the bloom: 35 g came in and went at once."
    )
    assert words.suggests.startswith("Or it was water, and the scale tared itself")


def test_what_still_goes_on_is_not_said_to_be_over() -> None:
    live = replace(flag(FlagKind.STALL), refined=False)
    assert "has all but stopped for 2.0 s now" in flag_sentence(live)
    assert "went on" not in flag_sentence(live)
    over = replace(flag(FlagKind.OVERSHOOT), refined=False)
    assert "Pour 1 is 12 g beyond its mark of 180 g." in flag_sentence(over)


@pytest.mark.parametrize("kind", OF_THE_HAND)
def test_every_fault_of_the_hand_says_what_it_suggests_and_what_to_try(kind: FlagKind) -> None:
    words = flag_words(flag(kind))
    assert words.suggests.endswith(".")
    assert words.try_this.endswith(".")


@pytest.mark.parametrize("kind", [FlagKind.UNEVEN, FlagKind.STALL, FlagKind.SURGE])
def test_channeling_is_suggested_never_proven(kind: FlagKind) -> None:
    sentence = flag_sentence(flag(kind))
    assert "suggests a risk of channeling" in sentence
    assert "A scale sees how much is poured, not where it goes" in sentence


@pytest.mark.parametrize("kind", FlagKind)
def test_titles_are_short(kind: FlagKind) -> None:
    assert 0 < len(flag_title(kind)) <= 20
