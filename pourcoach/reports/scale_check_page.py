"""A check of a scale as a page to keep, in Markdown, which also reads as plain text."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pourcoach.weighing.check import ScaleCheck
from pourcoach.weighing.check_record import CheckRecord
from pourcoach.weighing.verdict import NO_VERIFICATION, Bearing, Sentence

_BEARINGS = {
    Bearing.CAN: "What it can do",
    Bearing.CANNOT: "What it cannot do",
    Bearing.DO: "What would help",
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One row: a test, what was found, what is allowed."""

    test: str
    found: str
    limit: str = ""
    within: bool | None = None
    """None where there is no limit to keep."""

    @property
    def outcome(self) -> str:
        """In a word."""
        return {None: "", True: "within", False: "OUTSIDE"}[self.within]


def scale_check_page(
    record: CheckRecord, check: ScaleCheck, sentences: Sequence[Sentence], headline: str = ""
) -> list[str]:
    """Lines of the page. ``headline`` says what the scale is good enough for."""
    yardstick = check.yardstick
    held = "in service (twice those of a new scale)" if yardstick.in_service else "of a new scale"
    lines = [
        f"# Scale check: {record.scale or 'a scale'}",
        "",
        *([f"**{headline}**", ""] if headline else []),
        *([f"Made {record.made_at}.", ""] if record.made_at else []),
        *([f"Its readings are {record.calibration}.", ""] if record.calibration else []),
        f"Held against OIML R 76-1, class {yardstick.accuracy.value}, interval "
        f"{yardstick.interval_g:g} g, capacity {yardstick.capacity_g:g} g, limits {held}.",
    ]
    fault = yardstick.class_fault()
    if fault is not None:
        lines += [
            "",
            f"No scale like this has a class: {fault}. Its limits are shown all the same.",
        ]
    lines += ["", NO_VERIFICATION]
    for bearing, heading in _BEARINGS.items():
        said = [sentence.text for sentence in sentences if sentence.bearing is bearing]
        if said:
            lines += ["", f"## {heading}", "", *(f"- {text}" for text in said)]
    found = list(findings(check))
    lines += ["", "## What was found", "", *_table(found)] if found else []
    if check.faults:
        lines += ["", "## What could not be judged", "", *(f"- {fault}" for fault in check.faults)]
    if check.unknown_loads:
        lines += [
            "",
            "How far the weights used may themselves be off was not told for all of them: errors "
            "above are of scale and weight together.",
        ]
    return lines


def findings(check: ScaleCheck) -> Iterator[Finding]:
    """Every test that was done."""
    if check.rest is not None:
        step = "" if check.rest.step is None else f", in steps of {check.rest.step:.3g} g"
        yield Finding("noise of one reading", f"{check.rest.noise:.3f} g{step}")
    if check.pace is not None:
        yield Finding("rate", f"{check.pace.rate_hz:.1f} a second")
        yield Finding(
            "beat",
            f"{check.pace.jitter_s * 1000:.0f} ms off, longest gap "
            f"{check.pace.longest_gap_s * 1000:.0f} ms, {check.pace.burst_share:.0%} in bursts"
            + (", stamped by the scale" if check.pace.stamped else ""),
        )
        if check.pace.missed is not None:
            yield Finding("lost on the way", f"{check.pace.missed}")
    yield from _loads(check)
    if check.creep is not None:
        creep = check.creep
        span = f"{creep.span_s / 60:.0f} min" if creep.span_s >= 60 else f"{creep.span_s:.0f} s"
        yield Finding(
            f"creep over {span}",
            f"{creep.change_g:+.3f} g",
            f"{creep.limit_g:.3g} g over 30 min",
            abs(creep.change_g) <= creep.limit_g,
        )
        if creep.late_g is not None:
            yield Finding(
                "creep from 15 min to 30 min",
                f"{creep.late_g:+.3f} g",
                f"{creep.late_limit_g:.3g} g",
                abs(creep.late_g) <= creep.late_limit_g,
            )
    if check.zero_return is not None:
        zero = check.zero_return
        yield Finding(
            "zero after the load", f"{zero.change_g:+.3f} g", f"{zero.limit_g:.3g} g", zero.within
        )
    if check.steps:
        slowest = max(step.rise_s for step in check.steps)
        yield Finding("step, tenth to nine tenths", f"{slowest * 1000:.0f} ms at most")
    if check.delay is not None:
        yield Finding(
            "delay of readings",
            f"{check.delay.delay_s * 1000:.0f} ms ± {check.delay.error_s * 1000:.0f} ms",
        )


def _loads(check: ScaleCheck) -> Iterator[Finding]:
    if check.linearity is not None:
        for error in check.linearity.errors:
            yield Finding(
                f"error at {error.load_g:.6g} g",
                f"{error.error_g:+.3f} g",
                f"{error.limit_g:.3g} g",
                error.within,
            )
    if check.repeatability is not None:
        same = check.repeatability
        yield Finding(
            f"{same.load_g:.6g} g, {same.weighings} times",
            f"{same.spread_g:.3f} g apart",
            f"{same.limit_g:.3g} g",
            same.within,
        )
    if check.eccentricity is not None:
        for place, error_g in check.eccentricity.errors_g.items():
            limit_g = check.eccentricity.limit_g
            yield Finding(
                f"{check.eccentricity.load_g:.6g} g, {place}",
                f"{error_g:+.3f} g",
                f"{limit_g:.3g} g",
                abs(error_g) <= limit_g,
            )
    if check.discrimination is not None:
        small = check.discrimination
        yield Finding(
            f"{small.added_g:.3g} g added",
            f"{small.change_g:+.3f} g shown",
            f"{small.least_g:.3g} g at least",
            small.within,
        )


def _table(found: Sequence[Finding]) -> list[str]:
    rows = [("test", "found", "allowed", ""), ("", "", "", "")]
    rows += [(one.test, one.found, one.limit, one.outcome) for one in found]
    widths = [max(len(row[column]) for row in rows) for column in range(4)]
    rows[1] = ("-" * widths[0], "-" * widths[1], "-" * widths[2], "-" * max(widths[3], 3))
    return [
        "| " + " | ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) + " |"
        for row in rows
    ]
