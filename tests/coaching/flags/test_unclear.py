"""A stall or a surge that the readings neither show nor rule out is said to be unknown."""

from dataclasses import replace

import pytest

from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.flow import verdict_flags
from pourcoach.coaching.flags.unclear import without_known
from pourcoach.coaching.flow.excursions import Excursion
from pourcoach.coaching.flow.hindsight import FlowVerdict
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import Pour, StagePour

POURED = Poured(1, 1, StagePour("pour 1", (Pour(10.0, 0.0, 40.0, 150.0),), 1))
VERDICT = FlowVerdict(5.0, (), (), 0.08, 0.01, None, 0.08, ((20.0, 21.2), (20.4, 21.0)))


def test_a_hole_that_may_hold_a_surge_is_a_disturbance_that_may_be_none() -> None:
    (flag,) = verdict_flags(POURED, VERDICT, FlagLimits())
    assert (flag.kind, flag.stage) == (FlagKind.DISTURBED, "pour 1")
    assert (flag.start_s, flag.end_s, flag.confidence) == (20.0, 21.2, 0.5)
    assert flag.evidence["unclear_s"] == pytest.approx(1.2)


def test_where_a_surge_was_found_nothing_is_unclear() -> None:
    surge = Excursion(20.5, 21.5, 1.0, 12.0, 12.0, 8.5, 0.1)
    flags = verdict_flags(POURED, replace(VERDICT, surges=(surge,)), FlagLimits())
    assert [flag.kind for flag in flags] == [FlagKind.SURGE]


@pytest.mark.parametrize("start_s", [19.3, 20.3])
def test_what_a_touch_or_a_gap_explains_is_not_reported_twice(start_s: float) -> None:
    flags = verdict_flags(POURED, VERDICT, FlagLimits())
    touch = Flag(FlagKind.GAP, start_s, start_s + 1.5, "pour 1", 0.99, {"lasted_s": 1.5})
    assert without_known(flags, [touch]) == []
    elsewhere = replace(touch, start_s=start_s + 5.0, end_s=start_s + 6.0)
    assert without_known(flags, [elsewhere]) == flags


@pytest.mark.parametrize(("seen_s", "kept"), [(0.4, False), (0.6, True)])
@pytest.mark.parametrize("before", [True, False])
def test_what_is_seen_of_it_beside_a_touch_is_not_the_touchs(
    seen_s: float, kept: bool, before: bool
) -> None:
    touch = Flag(FlagKind.DISTURBED, 63.0, 64.0, "pour 1", 1.0, {"lasted_s": 1.0, "jump_g": 0.0})
    from_s, to_s = (63.0 - seen_s, 64.3) if before else (62.7, 64.0 + seen_s)
    evidence = {"lasted_s": to_s - from_s, "jump_g": 0.0, "unclear_s": to_s - from_s}
    unclear = Flag(FlagKind.DISTURBED, from_s, to_s, "pour 1", 0.5, evidence, refined=True)
    assert without_known([unclear], [touch]) == ([unclear] if kept else [])


@pytest.mark.parametrize("hidden", [(), VERDICT.hidden])
def test_a_pour_that_is_unclear_in_part_is_uneven_only_without_a_doubt(
    hidden: tuple[tuple[float, float], ...],
) -> None:
    """What is left of a surge beside the hole may make the rest look uneven: 0.23 +- 0.03."""
    verdict = replace(VERDICT, cv=0.23, cv_error=0.03, least_cv=0.23, hidden=hidden)
    kinds = [flag.kind for flag in verdict_flags(POURED, verdict, FlagLimits())]
    assert (FlagKind.UNEVEN in kinds) is (not hidden)
