"""A check of a scale as a page to keep, in Markdown, which also reads as plain text."""

from collections.abc import Sequence

from pourcoach.weighing.check.abilities import NO_VERIFICATION
from pourcoach.weighing.check.check import ScaleCheck
from pourcoach.weighing.check.check_record import CheckRecord
from pourcoach.weighing.figures.finding import Bearing, Finding, Sentence

_BEARINGS = {
    Bearing.CAN: "What it can do",
    Bearing.CANNOT: "What it cannot do",
    Bearing.DO: "What would help",
}


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
    found = [finding for result in check.results for finding in result.findings()]
    lines += ["", "## What was found", "", *_table(found)] if found else []
    if check.faults:
        lines += ["", "## What could not be judged", "", *(f"- {fault}" for fault in check.faults)]
    if check.unknown_loads:
        lines += [
            "",
            "How far the weights used may themselves be off was not given for all of them: errors "
            "above are of scale and weight together.",
        ]
    return lines


def _table(found: Sequence[Finding]) -> list[str]:
    rows = [("test", "found", "allowed", ""), ("", "", "", "")]
    rows += [(one.test, one.found, one.limit, one.outcome) for one in found]
    widths = [max(len(row[column]) for row in rows) for column in range(4)]
    rows[1] = ("-" * widths[0], "-" * widths[1], "-" * widths[2], "-" * max(widths[3], 3))
    return [
        "| " + " | ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) + " |"
        for row in rows
    ]
