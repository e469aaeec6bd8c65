"""A kept brew in cells and lines of text, for the list on the screen and the one in a terminal."""

from collections.abc import Callable, Sequence

from pourcoach.domain.afterwards import Impression, RemarkKind, StrengthReading
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.printable import LONGEST_REMARK, printable
from pourcoach.library.records import Brew, Judgement, OpenedBrew
from pourcoach.reports.brew.brew_line import NOTHING, when
from pourcoach.wording.afterwards import afterword_sentence, afterword_text

HEADINGS = ("WHEN", "WHO", "COFFEE", "VERDICT", "MARKS", "WATER", "TIME", "TDS", "ID", "TITLE")
NUMBERS = frozenset({5, 6, 7})
"""Columns that stand to the right."""
SHOWN_ID = 8
"""Characters of an id that a list shows: enough to name the brew by."""


def row(brew: Brew) -> tuple[str, ...]:
    """The brew's cells, in the order of HEADINGS."""
    marks = NOTHING
    if brew.marks_of:
        marks = f"{brew.marks_met} of {brew.marks_of}"
    return (
        when(brew.recorded_at),
        brew.by or NOTHING,
        brew.coffee or NOTHING,
        "GONE" if brew.is_missing and brew.headline is None else brew.headline or "NOT JUDGED",
        marks,
        NOTHING if brew.water_g is None else f"{brew.water_g:.0f} g",
        NOTHING if brew.brew_s is None else clock(brew.brew_s),
        NOTHING if brew.strength_percent is None else f"{brew.strength_percent:.2f} %",
        brew.id[:SHOWN_ID] or NOTHING,
        " ".join([brew.title or "", *(f"#{tag}" for tag in brew.tags)]).strip(),
    )


def lines(opened: OpenedBrew) -> list[str]:
    """All that is known of a brew, without its tape."""
    brew = opened.brew
    lines = [" · ".join(part for part in (brew.title, brew.headline or "NOT JUDGED") if part)]
    facts = {
        "when": when(brew.recorded_at),
        "who": brew.by,
        "coffee": brew.coffee,
        "water": brew.water,
        "tags": ", ".join(brew.tags),
        "scale": opened.scale,
        "id": brew.id,
        "recording": f"{brew.tape}{' (gone)' if brew.is_missing else ''}",
    }
    lines += [f"{key:<10} {value}" for key, value in facts.items() if value]
    if opened.judgement is not None:
        lines += _figures(brew, opened.judgement)
    lines += said(opened)
    if opened.judgement is not None:
        lines += ["", f"figures by {opened.judgement.judged_by}, {opened.judgement.rubric}"]
    return lines


def said(opened: OpenedBrew) -> list[str]:
    """What was said of it afterwards, a heading over each kind."""
    beds = [remark for remark in opened.remarks if remark.kind is RemarkKind.BED]
    others = [remark for remark in opened.remarks if remark.kind is not RemarkKind.BED]
    sections: tuple[tuple[str, Sequence[Impression], Callable[[Impression], str]], ...] = (
        ("Cup", opened.cup_notes, afterword_text),
        ("Strength", opened.strengths, afterword_text),
        ("Bed", beds, afterword_text),
        ("Notes", others, afterword_sentence),
    )
    lines: list[str] = []
    for heading, words, text in sections:
        if words:
            lines += ["", heading, *(f"  {_made(word)}  {text(word)}" for word in words)]
    return [printable(line, LONGEST_REMARK) for line in lines]


def said_line(word: Impression) -> str:
    """One afterword in a line."""
    return f"{_made(word)}  {afterword_sentence(word)}"


def _made(word: Impression) -> str:
    return when(word.taken_at if isinstance(word, StrengthReading) else word.made_at)


def figures_line(brew: Brew, judgement: Judgement | None) -> str:
    """Water, time, marks and findings; empty where it is not judged."""
    if judgement is None or brew.water_g is None:
        return ""
    time = "" if brew.brew_s is None else f" in {clock(brew.brew_s)}"
    marks = f", {brew.marks_met} of {brew.marks_of} marks met" if brew.marks_of else ""
    strength = "" if brew.strength_percent is None else f", {brew.strength_percent:.2f} %"
    found = f"; {', '.join(brew.findings)}" if brew.findings else ""
    return f"{brew.water_g:.0f} g{time}{strength}{marks}{found}"


def _figures(brew: Brew, judgement: Judgement) -> list[str]:
    figures = judgement.figures
    lines = ["", figures_line(brew, judgement)]
    for flag in figures.get("flags", ()):
        stage = f"{flag['stage']}: " if flag["stage"] else ""
        lines.append(f"  {stage}{flag['says']}")
    return lines
