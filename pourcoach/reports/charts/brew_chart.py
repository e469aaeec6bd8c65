"""The chart of one brew: weight against its plan, how far off it was, and the flow."""

from math import ceil

from pourcoach.coaching.course.bounds import tolerance_g
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import StagePour
from pourcoach.domain.units import Grams, Seconds
from pourcoach.reports.brew.brew_report import BrewReport
from pourcoach.reports.brew.flow_bands import flow_bands
from pourcoach.reports.charts.axes import SECONDS, Axis, round_steps
from pourcoach.reports.charts.drawing import Anchor, Drawing
from pourcoach.reports.charts.fault_marks import draw_faults
from pourcoach.reports.charts.paint import Paint
from pourcoach.reports.charts.simplify import simplified

WIDTH, HEIGHT = 760.0, 500.0
_LEFT, _RIGHT = 46.0, 748.0
_WEIGHT = (272.0, 46.0)
"""Bottom and top of each part."""
_OFF = (372.0, 314.0)
_FLOW = (462.0, 398.0)
HEADROOM = 1.06
LEAST_SPAN_S: Seconds = 30.0
LEAST_OFF_G: Grams = 10.0
"""Twice the usual landing limit of 5 g; more where the brew was further off."""
MOST_OFF_G: Grams = 40.0
SMALL = 11.0


def brew_chart(brew: BrewReport) -> Drawing:
    """The whole brew. Without a plan there is no target and no lane for what is off it; with the
    server on the scale there is no flow, for the pours were not weighed.
    """
    plan = None if brew.dripped else brew.plan
    drawing = Drawing(WIDTH, HEIGHT, f"The curve of {brew.name}", description(brew))
    span_s = max(LEAST_SPAN_S, brew.curve.end_s, 0.0 if plan is None else plan.finish_s)
    most_g = max(
        [10.0, *(point.mass_g for point in brew.curve.points)]
        + ([] if plan is None else [plan.water_g])
    )
    across = Axis(0.0, span_s * 1.01, _LEFT, _RIGHT)
    up = Axis(0.0, most_g * HEADROOM, *_WEIGHT)
    # Without a plan the flow takes the place of what is off it.
    up_px = 0.0 if plan is not None else _FLOW[1] - _OFF[1]
    flow = (_FLOW[0] - up_px, _FLOW[1] - up_px)
    draw_faults(drawing, brew, across, _WEIGHT, flow if _has_flow(brew) else _WEIGHT)
    _grid(drawing, across, up, "g", steps=None)
    if plan is not None:
        _band(drawing, plan, across, up)
        _legend(drawing)
    _stage_names(drawing, brew, across, up)
    weight = simplified([(across.px(p.t_s), up.px(p.mass_g)) for p in brew.curve.points])
    drawing.stroke(weight, Paint.POURED, 2.4)
    bottom = _WEIGHT[0]
    if plan is not None:
        _off_lane(drawing, brew, plan, across)
        bottom = _OFF[0]
    if _has_flow(brew):
        _flow_lane(drawing, brew, across, flow)
        bottom = flow[0]
    for second in across.ticks(SECONDS):
        at = (across.px(second), bottom + 17)
        drawing.label(at, clock(second), Paint.DIM, SMALL, Anchor.MIDDLE)
    drawing.height = bottom + 26
    return drawing


def description(brew: BrewReport) -> str:
    """The chart in words."""
    sentences = [brew.result]
    for row in brew.rows:
        planned = "" if row.planned_to == "-" else f", planned {row.planned_to}"
        if row.poured is None:
            sentences.append(f"{row.stage} was not poured{planned}.")
        else:
            sentences.append(
                f"{row.stage} began at {row.start} and reached {row.poured_to}{planned}."
            )
    for kind in brew.noted:
        sentences += [f"{kind.title}, {finding.head}." for finding in kind.findings]
    return " ".join(sentences)


def _has_flow(brew: BrewReport) -> bool:
    return not brew.dripped and bool(brew.curve.points)


def _grid(
    drawing: Drawing, across: Axis, up: Axis, unit: str, steps: tuple[float, ...] | None
) -> None:
    for value in up.ticks(steps or round_steps(up.high - up.low)):
        y = up.px(value)
        drawing.stroke([(across.from_px, y), (across.to_px, y)], Paint.GRID, 1.0)
        text = f"{value:g}" if value else f"0 {unit}".rstrip()
        drawing.label((across.from_px - 7, y + 4), text, Paint.DIM, SMALL, Anchor.END)


def _band(drawing: Drawing, plan: Plan, across: Axis, up: Axis) -> None:
    """The target, and about it how far off its mark each stage may land."""
    target: list[tuple[Seconds, Grams]] = []
    for index, stage in enumerate(plan.stages):
        later = plan.stages[index + 1].start_s if index + 1 < len(plan.stages) else across.high
        times = (stage.start_s, min(plan.stage_end_s(index), later), later)
        own = [(t, plan.target_g(t)) for t in times[:2]] + [(later, plan.target_g(times[1]))]
        half_g = tolerance_g(plan, index)
        upper = [(across.px(t), up.px(mass_g + half_g)) for t, mass_g in own]
        lower = [(across.px(t), up.px(mass_g - half_g)) for t, mass_g in own]
        drawing.area([*upper, *reversed(lower)], Paint.BAND)
        target += own
    line = [(across.px(t), up.px(mass_g)) for t, mass_g in target]
    drawing.stroke(line, Paint.PLAN, 1.6, (5.0, 3.5))


def _legend(drawing: Drawing) -> None:
    """In the upper left corner, where no brew has poured anything yet."""
    x, y = _LEFT + 12, _WEIGHT[1] + 16
    drawing.stroke([(x, y), (x + 26, y)], Paint.POURED, 2.4)
    drawing.label((x + 34, y + 4), "poured", Paint.INK, SMALL)
    drawing.box(x, y + 13, 26, 10, Paint.BAND)
    drawing.stroke([(x, y + 18), (x + 26, y + 18)], Paint.PLAN, 1.6, (5.0, 3.5))
    drawing.label((x + 34, y + 22), "planned, with what may be off", Paint.INK, SMALL)


def _stage_names(drawing: Drawing, brew: BrewReport, across: Axis, up: Axis) -> None:
    """Each below the place where it began, as far as there is room."""
    start_s = None if brew.last is None else brew.last.pour.brew_start_s
    free_px = across.from_px
    for row in brew.rows:
        if row.poured is None or start_s is None:
            continue
        x = across.px(row.poured.start_s - start_s)
        text = row.stage if len(row.stage) <= 16 else row.stage[:15] + "…"
        if x < free_px:
            continue
        drawing.stroke([(x, up.from_px - 4), (x, up.from_px + 6)], Paint.DIM, 1.4)
        drawing.label((x + 4, up.from_px + 14), text, Paint.DIM, SMALL)
        free_px = x + 8 + 6.2 * len(text)


def _off_lane(drawing: Drawing, brew: BrewReport, plan: Plan, across: Axis) -> None:
    """Over is up. What is beyond the lane stands at its edge."""
    off = brew.curve.off_target(plan)
    worst_g = max((abs(off_g) for _, off_g in off), default=0.0)
    reach_g = min(MOST_OFF_G, max(LEAST_OFF_G, 5.0 * ceil(worst_g / 5.0)))
    lane = Axis(-reach_g, reach_g, *_OFF)
    allowed = plan.limits.landing_g
    top, bottom = lane.px(allowed), lane.px(-allowed)
    drawing.box(across.from_px, top, across.to_px - across.from_px, bottom - top, Paint.BAND)
    middle = lane.px(0.0)
    drawing.stroke([(across.from_px, middle), (across.to_px, middle)], Paint.PLAN, 1.2, (5.0, 3.5))
    for value in (-reach_g, reach_g):
        text = f"{value:+g}"
        drawing.label((across.from_px - 7, lane.px(value) + 4), text, Paint.DIM, SMALL, Anchor.END)
    drawing.label((across.from_px - 7, middle + 4), "0", Paint.DIM, SMALL, Anchor.END)
    drawing.label((across.from_px, _OFF[1] - 7), "off target, g", Paint.DIM, SMALL)
    points = [(across.px(brew_s), lane.px(off_g)) for brew_s, off_g in off]
    drawing.stroke(simplified(points), Paint.POURED, 1.6)


def _flow_lane(
    drawing: Drawing, brew: BrewReport, across: Axis, place: tuple[float, float]
) -> None:
    """With the band within which each pour is even."""
    stages: tuple[StagePour, ...] = () if brew.last is None else brew.last.pour.stages
    limits = FlagLimits() if brew.plan is None else brew.plan.limits
    start_s = 0.0 if brew.last is None else brew.last.pour.brew_start_s or 0.0
    bands = flow_bands(stages, limits, start_s)
    highest = max(
        [4.0, *(point.flow_gps for point in brew.curve.points)]
        + [band.mean_gps + band.half_gps for band in bands]
    )
    lane = Axis(0.0, highest * 1.05, *place)
    for band in bands:
        left, right = across.px(band.start_s), across.px(band.end_s)
        top = lane.px(band.mean_gps + band.half_gps)
        bottom = lane.px(band.mean_gps - band.half_gps)
        drawing.box(left, top, right - left, bottom - top, Paint.BAND)
    _grid(drawing, across, lane, "", round_steps(lane.high))
    drawing.label((across.from_px, place[1] - 7), "flow, g/s", Paint.DIM, SMALL)
    flow = [(across.px(p.t_s), lane.px(max(0.0, p.flow_gps))) for p in brew.curve.points]
    drawing.stroke(simplified(flow), Paint.FLOW, 1.2)
