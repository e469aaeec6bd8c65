"""What may be seen of a pour, and when."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Finish, Input, Mark, Reading, SelfEstimate, Shown, Sight
from pourcoach.practice.assignment import Assignment, Mode
from pourcoach.practice.block.attempt import LATEST_S, Attempt, Glance, Step
from pourcoach.practice.drill.measure import Judged, PourMeasure
from pourcoach.practice.level import Level
from pourcoach.practice.schedule import USUAL, Part, Place
from tests.practice.driven import WITH_RESULT, driven, short_readings, short_task

EPS_S = 1e-9
PLACES = [
    *(place for block in range(1, 6) for place in USUAL.places(block, Level.BEGINNER, block)),
    *USUAL.test_places(Part.BASELINE),
    *USUAL.test_places(Part.TEST),
    *USUAL.test_places(Part.TRANSFER_TEST),
]


def _steps(seen: list[tuple[Input, Glance]]) -> list[Step]:
    steps: list[Step] = []
    for _, glance in seen:
        if not steps or glance.step is not steps[-1]:
            steps.append(glance.step)
    return steps


def test_a_pour_goes_from_ready_to_its_result() -> None:
    attempt, seen = driven(*short_task(), short_readings())
    assert _steps(seen) == [Step.READY, Step.POURING, Step.ASKING, Step.WAITING, Step.SHOWN]
    result = seen[-1][1].result
    assert result is not None
    assert result is attempt.result
    assert result.estimate == 40.0
    assert result.lead.poured == pytest.approx(40.0, abs=3.0)


def test_a_pour_without_a_result_ends_after_the_estimate() -> None:
    attempt, seen = driven(*short_task(replace(WITH_RESULT, result=False)), short_readings())
    assert _steps(seen)[-2:] == [Step.ASKING, Step.OVER]
    assert all(glance.result is None for _, glance in seen)
    assert attempt.result is not None


def test_the_screen_has_no_figure_while_water_runs_without_help() -> None:
    _, seen = driven(*short_task(), short_readings())
    pouring = [glance for _, glance in seen if glance.step is Step.POURING]
    assert len(pouring) > 20
    assert all(glance.frame is None for glance in pouring)
    assert all(glance.time_s is not None for glance in pouring)


def test_a_drill_can_hide_the_clock_as_well() -> None:
    assignment, plan = short_task()
    _, seen = driven(replace(assignment, clock=False), plan, short_readings())
    assert all(glance.time_s is None for _, glance in seen)


def test_live_help_is_seen_from_its_own_input_on_and_without_findings() -> None:
    place = replace(WITH_RESULT, live_help=True)
    _, seen = driven(*short_task(place), short_readings("overshooting"))
    help_at = next(n for n, (item, _) in enumerate(seen) if item == Shown(item.t_s, Sight.HELP))
    assert help_at == 1
    shown = [glance.frame for _, glance in seen if glance.step is Step.POURING and glance.frame]
    assert len(shown) > 20
    assert all(frame.flags == () for frame in shown)


def test_live_help_ends_with_the_water() -> None:
    place = replace(WITH_RESULT, live_help=True)
    attempt, seen = driven(*short_task(place), short_readings())
    assert attempt.result is not None
    stopped_s = attempt.result.stopped_s
    assert stopped_s is not None
    last = max(glance.t_s for _, glance in seen if glance.step is Step.POURING and glance.frame)
    assert last < stopped_s + 1.0


def test_with_assist_all_is_seen_and_nothing_is_asked() -> None:
    place = Place(Part.ASSIST, live_help=True, result=True)
    attempt, seen = driven(*short_task(place), short_readings())
    assert attempt.assignment.mode is Mode.ASSIST
    assert _steps(seen) == [Step.READY, Step.POURING, Step.WAITING, Step.SHOWN] or _steps(seen) == [
        Step.READY,
        Step.POURING,
        Step.SHOWN,
    ]


@pytest.mark.parametrize("live_help", [False, True])
def test_a_nearly_full_server_is_said_whatever_is_hidden(live_help: bool) -> None:
    assignment, plan = short_task(replace(WITH_RESULT, live_help=live_help, result=False))
    _, seen = driven(replace(assignment, server_ml=30.0), plan, short_readings())
    full = [(item, glance) for item, glance in seen if glance.server_full]
    assert isinstance(full[0][0], Shown)
    frame_waters = [glance.frame for _, glance in full if glance.frame is not None]
    assert bool(frame_waters) is live_help
    assert sum(item == Shown(item.t_s, Sight.SERVER_FULL) for item, _ in seen) == 1


def test_a_pour_may_be_called_done_before_all_was_poured() -> None:
    assignment, plan = short_task()
    readings = list(short_readings())
    stop_s = next(r.t_s for r in readings if r.grams > 20)
    level = [r if r.t_s < stop_s else Reading(r.t_s, 20.0) for r in readings]
    level.insert(next(n for n, r in enumerate(level) if r.t_s > stop_s + 1), Finish(stop_s + 1))
    attempt, _ = driven(assignment, plan, level)
    assert attempt.step is Step.SHOWN
    assert attempt.result is not None
    assert attempt.result.lead.poured == pytest.approx(20.0, abs=1.0)


def test_an_estimate_before_it_is_asked_for_is_not_taken() -> None:
    readings = list(short_readings())
    middle = next(n for n, reading in enumerate(readings) if reading.grams > 20)
    early = SelfEstimate(readings[middle].t_s, 12.0)
    inputs: list[Input] = [*readings[: middle + 1], early, *readings[middle + 1 :]]
    attempt, seen = driven(*short_task(), inputs)
    assert _steps(seen) == [Step.READY, Step.POURING, Step.ASKING, Step.WAITING, Step.SHOWN]
    assert attempt.result is not None
    assert attempt.result.estimate == 40.0


def test_called_done_before_any_water_there_is_nothing() -> None:
    readings = short_readings()[:20]
    attempt, _ = driven(*short_task(), [*readings, Finish(readings[-1].t_s)])
    assert attempt.step is Step.OVER
    assert attempt.result is None


def test_the_result_waits_for_how_even_a_pour_was_but_not_beyond_8_s() -> None:
    assignment, plan = short_task()
    even = replace(assignment, judged=(*assignment.judged, Judged(PourMeasure.EVENNESS, 0.01, 1)))
    attempt, seen = driven(even, plan, short_readings())
    shown = next(item for item, glance in seen if glance.step is Step.SHOWN)
    assert attempt.due_after_s is not None
    assert shown.t_s <= attempt.due_after_s - WITH_RESULT.delay_s + LATEST_S + 0.2


@st.composite
def sittings(draw: st.DrawFn) -> tuple[Assignment, object, list[Input], float]:
    """A pour with keys and forged sights thrown in, and how long the student thinks."""
    place = draw(st.sampled_from(PLACES))
    assignment, plan = short_task(place)
    hand = draw(st.sampled_from(["steady", "stalling", "hasty", "overshooting"]))
    inputs: list[Input] = list(short_readings(hand, draw(st.integers(1, 3))))
    last_s = inputs[-1].t_s
    times = st.floats(0.0, last_s)
    for t_s in draw(st.lists(times, max_size=6)):
        kind = draw(st.sampled_from([0, 1, 2, 3]))
        inputs.append(
            [Shown(t_s, Sight.RESULT), SelfEstimate(t_s, 12.0), Mark(t_s), Finish(t_s)][kind]
        )
    inputs.sort(key=lambda item: item.t_s)
    return assignment, plan, inputs, draw(st.floats(0.0, 12.0))


@settings(max_examples=15)
@given(sittings())
def test_no_result_comes_too_soon_before_the_estimate_or_in_a_test(sitting) -> None:
    """Whatever is pressed and whatever a tape claims."""
    assignment, plan, inputs, thinks_s = sitting
    asked_s: list[float] = []

    def says(_: Attempt, t_s: float) -> float | None:
        asked_s.append(t_s)
        return 41.0 if t_s >= asked_s[0] + thinks_s else None

    attempt, seen = driven(assignment, plan, inputs, says)
    place = assignment.place
    estimated_s: float | None = None
    for item, glance in seen:
        if (
            isinstance(item, SelfEstimate)
            and attempt.result
            and attempt.result.estimate is not None
        ):
            asking = asked_s and item.t_s >= asked_s[0] - EPS_S
            if asking and estimated_s is None:
                estimated_s = item.t_s
        if glance.result is None:
            continue
        assert place.result
        assert not place.part.is_test
        assert place.part is not Part.BASELINE
        assert estimated_s is not None
        assert glance.t_s >= estimated_s - EPS_S
        stopped_s = glance.result.stopped_s
        assert stopped_s is not None
        assert glance.t_s >= stopped_s + place.delay_s - EPS_S
        assert glance.t_s >= stopped_s + 3.0 - EPS_S
    for _, glance in seen:
        if glance.step is not Step.READY:
            assert place.live_help or not isinstance(glance.frame, Frame)
