"""Stalls, surges and evenness of a finished stage, from its settled flow."""

import pytest

from pourcoach.coaching.flow.excursions import excursions, hidden
from pourcoach.coaching.flow.hindsight import FlowVerdict, judge_flow
from pourcoach.coaching.flow.trace import Sample, Trace
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import Pour, StagePour, Unjudged

# Written out: what is imported would hold whatever it is.
EDGES_S = 0.07

SPACING_S = 0.05


def verdict(
    *runs: tuple[float, float],
    planned_gps: float | None = 5.0,
    spacing_s: float = SPACING_S,
    events: tuple[PlatformEvent, ...] = (),
) -> FlowVerdict:
    """Of one pour that flows so for so long, and so on."""
    trace = Trace(_events=events)
    t_s = 0.0
    for flow_gps, lasts_s in runs:
        for _ in range(round(lasts_s / spacing_s)):
            trace.append(Sample(t_s, flow_gps, 0.1))
            t_s += spacing_s
    pour = Pour(0.0, 0.0, t_s, 100.0, refined=True, flow_cv=0.07, flow_cv_error=0.01)
    return judge_flow(StagePour("pour 1", (pour,)), trace, FlagLimits(), planned_gps)


def test_an_even_pour_keeps_its_own_figure() -> None:
    found = verdict((5.0, 10.0))
    assert (found.stalls, found.surges) == ((), ())
    assert (found.cv, found.usual_gps) == (0.07, 5.0)


def test_what_a_surge_leaves_is_no_less_even_than_the_whole() -> None:
    """Drumming makes peaks of the settled flow that the pour's own figure knows to be none."""
    rough = [(flow_gps, 0.2) for flow_gps in (3.0, 7.0) * 25]
    found = verdict(*rough, (12.0, 1.2), *rough)
    assert len(found.surges) == 1
    assert (found.cv, found.cv_error) == (0.07, 0.01)


@pytest.mark.parametrize(
    ("flow_gps", "lasts_s", "stalls"), [(0.5, 1.5, 1), (0.5, 0.7, 0), (2.0, 3.0, 0)]
)
def test_a_stall_is_low_enough_and_long_enough(
    flow_gps: float, lasts_s: float, stalls: int
) -> None:
    found = verdict((5.0, 5.0), (flow_gps, lasts_s), (5.0, 5.0))
    assert len(found.stalls) == stalls


@pytest.mark.parametrize(("peaks", "stands_out"), [(1, True), (6, False)])
def test_a_peak_among_others_stands_out_less(peaks: int, stands_out: bool) -> None:
    """The flow outside of it is 5 g/s, ± 0.5, or has five more peaks like it."""
    wander = [(flow_gps, 0.5) for flow_gps in (4.5, 5.5) * 5]
    found = verdict(*[run for _ in range(peaks) for run in (*wander, (10.0, 1.2))], *wander)
    assert len(found.surges) == peaks
    assert all((one.deviations > 3.0) is stands_out for one in found.surges)


SURGE = (10.0, 1.2)


def test_a_surge_that_is_made_up_for_is_the_hands() -> None:
    """A hand that heeds SLOW pours too little after it, as a weight that goes again would show."""
    (surge,) = verdict((5.0, 6.0), SURGE, (5.0, 1.0), (3.0, 2.5), (5.0, 6.0)).surges
    assert surge.released_s is None


@pytest.mark.parametrize(("after_s", "doubted"), [(3.0, True), (9.0, False)])
def test_a_surge_before_a_hand_lets_go_of_the_platform_is_doubted(
    after_s: float, doubted: bool
) -> None:
    let_go_s = 10.0 + SURGE[1] + after_s
    event = PlatformEvent(EventKind.LEAN, let_go_s, let_go_s + 0.5, -6.0, 0.5, 1.0)
    (surge,) = verdict((5.0, 10.0), SURGE, (5.0, 2.0), events=(event,)).surges
    assert (surge.released_s is not None) == doubted


def test_a_stall_is_measured_where_it_was() -> None:
    stall = verdict((5.0, 5.0), (0.0, 2.0), (5.0, 5.0)).stalls[0]
    assert (stall.start_s, stall.end_s) == pytest.approx((5.0, 7.0), abs=0.1)
    assert stall.lasted_s == pytest.approx(2.0, abs=0.15)
    assert stall.extreme_gps == 0.0


@pytest.mark.parametrize("spacing_s", [0.02, 0.05, 0.1])
def test_a_stall_is_as_long_on_a_slow_scale(spacing_s: float) -> None:
    stall = verdict((5.0, 5.0), (0.0, 1.4), (5.0, 5.0), spacing_s=spacing_s).stalls[0]
    assert stall.lasted_s == pytest.approx(1.4 - EDGES_S, abs=1e-6)


def test_a_slow_swing_is_no_longer_than_it_lies_beyond_the_limit() -> None:
    """Down to 0.5 g/s and up again in 5 s: 0.9 s of it lies below a quarter of the flow."""
    down = [(5.0 - 0.09 * step, SPACING_S) for step in range(1, 51)]
    found = verdict((5.0, 5.0), *down, *reversed(down), (5.0, 5.0))
    assert found.stalls == ()


@pytest.mark.parametrize(
    "runs", [((5.0, 8.0), (0.0, 2.0), (1.8, 3.0)), ((1.8, 3.0), (0.0, 2.0), (5.0, 8.0))]
)
def test_a_slow_rise_on_the_other_side_of_a_pause_makes_it_no_stall(
    runs: tuple[tuple[float, float], ...],
) -> None:
    """As a hand that leans before the pour or after it."""
    assert verdict(*runs).stalls == ()


def test_water_that_does_not_go_on_is_no_stall() -> None:
    assert verdict((5.0, 8.0), (0.3, 2.0)).stalls == ()


@pytest.mark.parametrize(
    ("flow_gps", "lasts_s", "surges"), [(10.0, 1.2, 1), (10.0, 0.5, 0), (8.0, 2.0, 0)]
)
def test_a_surge_is_high_enough_and_long_enough(
    flow_gps: float, lasts_s: float, surges: int
) -> None:
    found = verdict((5.0, 6.0), (flow_gps, lasts_s), (5.0, 6.0))
    assert len(found.surges) == surges


def test_two_dips_close_together_are_one() -> None:
    found = verdict((5.0, 5.0), (0.5, 0.8), (1.8, 0.2), (0.5, 0.8), (5.0, 5.0))
    assert len(found.stalls) == 1


def test_what_a_stall_does_to_evenness_is_left_out() -> None:
    found = verdict((5.0, 6.0), (0.0, 2.0), (5.0, 6.0))
    assert found.cv == pytest.approx(0.02, abs=0.01)


def test_evenness_beside_a_stall_is_known_to_a_tenth() -> None:
    trace, flows = Trace(), (4.0, 6.0, 4.0, 6.0, 0.0, 6.0, 4.0, 6.0, 4.0)
    for step in range(round(2.0 * len(flows) / SPACING_S)):
        trace.append(Sample(step * SPACING_S, flows[int(step * SPACING_S / 2.0)], 0.1))
    pour = Pour(0.0, 0.0, 18.0, 80.0, 4.4, 0.5, 0.05, refined=True)
    found = judge_flow(StagePour("pour 1", (pour,)), trace, FlagLimits(), 5.0)
    assert len(found.stalls) == 1
    assert found.cv == pytest.approx(0.2, abs=0.02)
    assert found.cv_error == pytest.approx(0.02, abs=0.003)


def test_without_a_plan_a_stall_is_low_against_the_pour_itself() -> None:
    assert len(verdict((3.0, 5.0), (1.0, 2.0), (3.0, 5.0), planned_gps=None).stalls) == 0
    assert len(verdict((3.0, 5.0), (0.5, 2.0), (3.0, 5.0), planned_gps=None).stalls) == 1


def poured(*pours: Pour) -> FlowVerdict:
    """Of pours with figures of their own, on an even trace."""
    trace = Trace()
    for step in range(round((pours[-1].end_s or 0.0) / SPACING_S)):
        trace.append(Sample(step * SPACING_S, 5.0, 0.1))
    return judge_flow(StagePour("pour 1", pours), trace, FlagLimits(), 5.0)


def one_pour(start_s: float, flow_gps: float, cv: float | None, why: Unjudged | None) -> Pour:
    return Pour(
        start_s,
        0.0,
        start_s + 8.0,
        8.0 * flow_gps,
        flow_gps,
        cv,
        None if cv is None else 0.02,
        why,
        refined=True,
    )


def test_two_pours_of_a_stage_are_judged_about_one_mean_flow() -> None:
    found = poured(one_pour(0.0, 4.0, 0.1, None), one_pour(8.5, 6.0, 0.1, None))
    # Deviations of 0.4 and 0.6 g/s within, of 1 g/s between.
    assert found.cv == pytest.approx(((0.4**2 + 0.6**2) / 2 + 1.0) ** 0.5 / 5.0)
    assert found.cv_error is not None
    assert 0.0 < found.cv_error < 0.02


@pytest.mark.parametrize("why", list(Unjudged))
def test_a_pour_that_could_not_be_judged_says_why(why: Unjudged) -> None:
    found = poured(one_pour(0.0, 5.0, None, why))
    assert (found.cv, found.unjudged) == (None, why)


def gappy(*runs: tuple[float | None, float]) -> list[Sample]:
    """Ten values a second of each flow for so long; None where there are none."""
    samples, t_s = [], 0.0
    for flow_gps, lasts_s in runs:
        for _ in range(round(lasts_s * 10.0)):
            if flow_gps is not None:
                samples.append(Sample(round(t_s, 3), flow_gps, 0.1))
            t_s += 0.1
    return samples


@pytest.mark.parametrize(
    ("runs", "found"),
    [
        ([(5.0, 3.0), (None, 0.4), (5.0, 3.0)], 0),
        ([(5.0, 3.0), (None, 0.6), (5.0, 3.0)], 0),
        ([(5.0, 3.0), (None, 1.4), (5.0, 3.0)], 0),
        ([(5.0, 3.0), (12.0, 0.4), (None, 0.7), (5.0, 3.0)], 1),
        ([(5.0, 3.0), (None, 0.7), (12.0, 0.4), (5.0, 3.0)], 1),
        ([(5.0, 3.0), (12.0, 0.4), (5.0, 1.0), (None, 0.7), (5.0, 3.0)], 0),
        ([(5.0, 3.0), (12.0, 1.2), (None, 0.6), (5.0, 3.0)], 0),
        ([(5.0, 3.0), (12.0, 0.4), (None, 0.7)], 1),
        ([(None, 0.7), (12.0, 0.4), (5.0, 3.0)], 1),
        ([(5.0, 3.0), (12.0, 0.4)], 0),
        ([(5.0, 3.0), (12.0, 0.5), (None, 0.3), (5.0, 3.0)], 1),
    ],
    ids=[
        *("short", "plain", "as before", "after it", "before it", "apart from it", "seen"),
        *("to the end", "from the start", "up to the end", "three steps"),
    ],
)
def test_what_is_seen_of_a_surge_may_be_longer_by_a_hole_beside_it(
    runs: list[tuple[float | None, float]], found: int
) -> None:
    samples = gappy(*runs)
    peaks = tuple(excursions(samples, 5.0, 8.5))
    pour_s = 0.0, sum(lasts_s for _, lasts_s in runs)
    assert len(list(hidden(samples, peaks, 0.7, pour_s, 5.0))) == found


@pytest.mark.parametrize(("left_out", "found"), [(1, 0), (2, 1)])
def test_one_reading_that_a_slow_scale_leaves_out_hides_nothing(left_out: int, found: int) -> None:
    samples = gappy((5.0, 3.0), (12.0, 0.4), (None, 0.2 * left_out), (5.0, 3.0))[::2]
    peaks = tuple(excursions(samples, 5.0, 8.5))
    assert len(list(hidden(samples, peaks, 0.7, (0.0, 7.0), 5.0))) == found


@pytest.mark.parametrize(("again_s", "found"), [(11.5, 1), (10.8, 0)])
def test_where_the_estimate_found_a_pause_a_touch_parts_no_stall(
    again_s: float, found: int
) -> None:
    """What a touch makes of the settled flow in the midst of the pause is no water."""
    trace = Trace()
    for sample in gappy((5.0, 10.0), (0.0, 0.2), (4.0, 0.5), (0.0, again_s - 10.7), (5.0, 10.0)):
        trace.append(sample)
    pours = Pour(0.0, 0.0, 10.0, 50.0, 5.0), Pour(again_s, 50.0, again_s + 10.0, 100.0, 5.0)
    stalls = judge_flow(StagePour("pour 1", pours), trace, FlagLimits(), 5.0).stalls
    assert len(stalls) == found


def test_a_pause_in_which_water_was_seen_to_run_is_no_stall() -> None:
    """Spikes had parted the pour."""
    trace = Trace()
    for sample in gappy((5.0, 10.8), (0.0, 0.2), (5.0, 10.0)):
        trace.append(sample)
    pours = Pour(0.0, 0.0, 10.0, 50.0, 5.0), Pour(11.3, 50.0, 21.2, 100.0, 5.0)
    assert judge_flow(StagePour("pour 1", pours), trace, FlagLimits(), 5.0).stalls == ()


def test_a_short_pause_that_lies_beside_a_dip_makes_no_stall_of_it() -> None:
    """A noisy scale: the one is where the other was found, too."""
    trace = Trace()
    for sample in gappy((5.0, 10.7), (0.0, 0.5), (5.0, 10.0)):
        trace.append(sample)
    pours = Pour(0.0, 0.0, 10.0, 50.0, 5.0), Pour(10.8, 50.0, 21.2, 100.0, 5.0)
    assert judge_flow(StagePour("pour 1", pours), trace, FlagLimits(), 5.0).stalls == ()


@pytest.mark.parametrize(("beside_gps", "found"), [(2.2, 1), (2.8, 0)])
def test_a_stall_may_go_on_in_a_hole_until_the_flow_is_half_way_back(
    beside_gps: float, found: int
) -> None:
    samples = gappy((5.0, 3.0), (None, 0.7), (beside_gps, 0.6), (0.0, 0.4), (5.0, 3.0))
    dips = tuple(excursions(samples, 5.0, 1.25))
    assert len(list(hidden(samples, dips, 1.0, (0.0, 7.7), 5.0))) == found


@pytest.mark.parametrize(("gushes_s", "even"), [(0.5, True), (0.75, False)])
def test_what_lies_close_beside_a_stall_is_left_out_too(gushes_s: float, even: bool) -> None:
    found = verdict((5.0, 6.0), (0.0, 2.0), (8.0, gushes_s), (5.0, 6.0))
    assert len(found.stalls) == 1
    assert found.cv is not None
    assert (found.cv < 0.04) is even


def test_what_may_be_a_surge_is_left_out_of_evenness_as_one_is() -> None:
    """A touch hides 0.7 s of 1.1; the figure of the whole pour has all of it."""
    trace = Trace()
    for sample in gappy((5.0, 6.0), (12.0, 0.4), (None, 0.7), (5.0, 6.0)):
        trace.append(sample)
    pour = Pour(0.0, 0.0, 13.1, 70.0, 5.4, 0.35, 0.01, refined=True)
    found = judge_flow(StagePour("pour 1", (pour,)), trace, FlagLimits(), 5.0)
    assert (len(found.hidden), found.surges) == (1, ())
    assert found.cv == pytest.approx(0.02, abs=0.01)
