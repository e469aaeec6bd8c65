"""Water that came unseen is counted and said, and nobody is judged by it."""

from dataclasses import replace

import pytest

from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.unseen import with_unseen
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.pour import Pour, StagePour
from pourcoach.wording import flag_sentence

GAP = Flag(FlagKind.GAP, 41.0, 46.2, "pour 1", 0.99, {"lasted_s": 5.2}, True)
LATE = Flag(FlagKind.LATE, 35.0, 46.0, "pour 1", 0.99, {"off_s": 11.0}, True)
SEEN = Pour(46.0, 40.0, 70.0, 180.0, refined=True)
UNSEEN = replace(SEEN, unseen_g=27.0)


def poured(pour: Pour) -> tuple[Poured, ...]:
    return (Poured(1, 1, StagePour("pour 1", (pour,), 1)),)


def test_a_silence_says_the_water_that_came_in_it() -> None:
    (gap,) = with_unseen([GAP], poured(replace(UNSEEN, start_s=42.0)))
    assert flag_sentence(gap).startswith(
        "No reading came for 5.2 s in pour 1; 27 g of water came in meanwhile and counts."
    )


def test_a_stage_that_began_unseen_is_not_blamed_for_its_time() -> None:
    assert with_unseen([LATE], poured(UNSEEN)) == []
    assert with_unseen([LATE], poured(SEEN)) == [LATE]


@pytest.mark.parametrize(
    ("kind", "off_s", "flags"),
    [
        *((FlagKind.BLOOM_SHORT, -9.0, 0), (FlagKind.BLOOM_SHORT, -9.4, 1)),
        *((FlagKind.EARLY, -9.0, 0), (FlagKind.LATE, 8.0, 0), (FlagKind.LATE, 8.4, 1)),
    ],
)
def test_no_stage_is_off_its_time_by_less_than_the_brew_may_have_begun_off_it(
    kind: FlagKind, off_s: float, flags: int
) -> None:
    """The first water came unseen, 4.2 s after the silence began and 3.2 s before its end."""
    first = Poured(0, 0, StagePour("bloom", (Pour(8.2, 0.0, 15.5, 40.0, unseen_g=40.0),), 0))
    silence = replace(GAP, start_s=4.0, end_s=11.4, stage="bloom")
    off = Flag(kind, 32.9, 38.3, "pour 1", 0.99, {"off_s": off_s, "allowed_s": 5.0}, True)
    kept = with_unseen([silence, off], (first, *poured(SEEN)))
    assert [flag for flag in kept if flag.kind is not FlagKind.GAP] == [off] * flags


def test_water_lost_later_in_a_pour_hides_no_start_that_the_readings_show() -> None:
    shown = replace(UNSEEN, start_error_s=0.04)
    gap = replace(GAP, start_s=50.0, end_s=55.2)
    assert [flag.kind for flag in with_unseen([LATE, gap], poured(shown))] == [
        FlagKind.LATE,
        FlagKind.GAP,
    ]


@pytest.mark.parametrize(
    ("off_s", "unseen_g", "flags"),
    [(11.0, 1.4, 1), (11.0, 6.5, 1), (11.0, 8.5, 0), (9.0, 1.4, 1), (8.3, 1.4, 0)],
)
def test_one_that_began_under_a_spike_is_as_late_as_no_water_could_have_made_it(
    off_s: float, unseen_g: float, flags: int
) -> None:
    """At 5 g/s, and with 8 s allowed."""
    pour = replace(SEEN, unseen_g=unseen_g, mean_flow_gps=5.0)
    late = replace(LATE, evidence={"off_s": off_s, "allowed_s": 8.0})
    assert len(with_unseen([late], poured(pour))) == flags
    gap = replace(GAP, start_s=44.0, end_s=45.2)
    assert [flag.kind for flag in with_unseen([gap, late], poured(pour))] == [FlagKind.GAP]


@pytest.mark.parametrize(("apart_s", "late"), [(1.7, False), (2.5, True)])
def test_water_seen_soon_after_a_silence_began_in_it(apart_s: float, late: bool) -> None:
    """A hand that began to pour in the gap is found a moment after it; later than two seconds it
    began in plain sight, and what came in the gap was another's."""
    pour = replace(UNSEEN, unseen_g=1.4, mean_flow_gps=5.0)
    gap = replace(GAP, end_s=pour.start_s - apart_s)
    flag = replace(LATE, evidence={"off_s": 11.0, "allowed_s": 8.0})
    assert (flag in with_unseen([gap, flag], poured(pour))) is late


@pytest.mark.parametrize(("off_g", "known"), [(-11.8, False), (11.8, False), (-12.2, True)])
def test_what_came_unseen_between_two_stages_may_be_of_either(off_g: float, known: bool) -> None:
    """With 5 g allowed, of 14 g that came in the gap in which the one ended and the next began."""
    ended = Pour(20.0, 40.0, 42.0, 140.0, unseen_g=7.0)
    begun = Pour(45.0, 140.0, 70.0, 240.0, unseen_g=7.0)
    stages = [StagePour(f"pour {k}", (pour,), k) for k, pour in ((1, ended), (2, begun))]
    two = [Poured(k, k, stage) for k, stage in enumerate(stages, start=1)]
    kind = FlagKind.SHORT if off_g < 0.0 else FlagKind.OVERSHOOT
    off = Flag(kind, 20.0, 42.0, "pour 1", 0.99, {"off_g": off_g, "allowed_g": 5.0})
    assert (off in with_unseen([GAP, off], two)) is known
    assert off in with_unseen([replace(GAP, start_s=30.0, end_s=35.0), off], two)
    assert replace(off, stage="pour 2") in with_unseen([GAP, replace(off, stage="pour 2")], two)


def test_a_silence_without_water_stays_as_it_is() -> None:
    assert with_unseen([GAP], poured(SEEN)) == [GAP]
