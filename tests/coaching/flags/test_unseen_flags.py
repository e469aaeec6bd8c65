"""Water that came unseen is counted and said, and nobody is judged by it."""

from dataclasses import replace

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


def test_a_silence_without_water_stays_as_it_is() -> None:
    assert with_unseen([GAP], poured(SEEN)) == [GAP]
