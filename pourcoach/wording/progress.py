"""Sentences of progress: skill from tests, and plain words where there is too little."""

from pourcoach.practice.progress.next_drill import Because, NextDrill
from pourcoach.practice.progress.progress import LEAST_TESTS, DrillProgress, Group
from pourcoach.wording.figures import how_many
from pourcoach.wording.practice import measured

ASSIST_IS_NO_SKILL = (
    "Skill is judged by tests alone: pours without any help, 24 h or more after practice. Pours "
    "with help are listed separately and say nothing about it."
)


def progress_sentences(found: DrillProgress) -> list[str]:
    """What a drill's figures say, the test first."""
    return [
        _skill(found),
        *_curve(found),
        *_estimates(found),
        f"Practice: {_group(found, found.train)}. With all help: {_group(found, found.assist)}.",
    ]


def _skill(found: DrillProgress) -> str:
    measure = found.measure
    if found.bias is None or found.spread is None or found.interval is None:
        return (
            f"Too little to tell: {how_many(found.tests, 'test pour')} so far,"
            f" and {LEAST_TESTS} are needed."
        )
    low, high = found.interval
    said = (
        f"From {found.tests} test pours: bias {measured(found.bias, measure)}"
        f" ({measured(low, measure)} to {measured(high, measure)}),"
        f" spread {measured(found.spread, measure, sign=False)},"
        f" {found.success[0]} of {found.success[1]} in band."
    )
    trend = found.trend
    if trend is None:
        return said + " Tests of one day alone show no trend."
    if not trend.is_seen:
        return said + " No trend stands out from chance yet."
    week = measured(7 * trend.slope, measure)
    return said + f" Errors change by {week} a week."


def _curve(found: DrillProgress) -> list[str]:
    curve = found.curve
    if curve is None:
        return []
    first, level, low, high = (
        measured(value, found.measure, sign=False)
        for value in (curve.at(0), curve.level, *curve.level_interval)
    )
    return [
        f"In practice without help errors go from {first} towards {level} ({low} to {high}), after"
        f" {curve.pours} pours."
    ]


def _estimates(found: DrillProgress) -> list[str]:
    values = found.estimates
    half = len(values) // 2
    if half < 2:
        return []
    first, last = (
        measured(sum(abs(value) for value in part) / len(part), found.asks, sign=False)
        for part in (values[:half], values[half:])
    )
    return [f"Your estimates were off by {first} at first and by {last} lately."]


def _group(found: DrillProgress, group: Group) -> str:
    pours = how_many(group.pours, "pour")
    if group.bias is None:
        return pours
    spread = (
        ""
        if group.spread is None
        else f", spread {measured(group.spread, found.measure, sign=False)}"
    )
    return (
        f"{pours}, bias {measured(group.bias, found.measure)}{spread},"
        f" {group.in_band} of {group.judged} in band"
    )


def next_sentence(found: NextDrill | None) -> str:
    """The next drill, with the reason in figures."""
    if found is None:
        return "There is no drill to practise."
    reason = {
        Because.TEST_DUE: "its test can be made now",
        Because.NEVER: "it was never practised",
        Because.UNTESTED: "it has too few test pours to be judged",
        Because.MOST_OFF: f"its test errors are {found.figure or 0.0:.1f} times its band, the most",
    }[found.because]
    return f"Next: {found.drill}, for {reason}."
