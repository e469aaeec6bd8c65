"""The head of a review: a few words in block letters, the evidence, the advice."""

from textwrap import wrap

from pourcoach.reports.brew.verdict import Verdict, VerdictKind
from pourcoach.tui.renderables.block_text import (
    ROWS,
    SMALL_ROWS,
    block_text,
    block_width,
    small_block_text,
)
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette, Tone

MARGIN = 2
VERDICT_TONES = {
    VerdictKind.FAULT: Tone.ACT,
    VerdictKind.NO_FAULT: Tone.TARGET,
    VerdictKind.TOO_LITTLE: Tone.WAIT,
}
# Stroke and gap, the largest that fits is taken.
_STROKES = ((2, 2), (2, 1), (1, 1))


def draw_verdict(lead: Verdict, width: int, height: int, glyphs: Glyphs, palette: Palette) -> Cells:
    """Block letters where there is room for them and for a line each of the two sentences."""
    tone = palette.tone(VERDICT_TONES[lead.found])
    plain, bold = tone.style(), tone.style(bold=True)
    cells = Cells(width, height, plain)
    inside = max(1, width - 2 * MARGIN)
    says = [line for text in (lead.evidence, lead.advice) for line in wrap(text, inside)]
    head = _head(lead.headline, inside, height, len(says), glyphs)
    spare = height - len(head) - len(says)
    top, gap = (1 if spare > 0 else 0), (1 if spare > 1 else 0)
    cells.put_rows(MARGIN, top, head, bold)
    for down, line in enumerate(says):
        cells.put(MARGIN, top + len(head) + gap + down, line, plain)
    return cells


def verdict_height(lead: Verdict, width: int, most: int) -> int:
    """Rows that all of it takes, block letters and a row above and below them; at most ``most``."""
    inside = max(1, width - 2 * MARGIN)
    says = sum(len(wrap(text, inside)) for text in (lead.evidence, lead.advice))
    return min(2 + ROWS + says, most)


def _head(headline: str, inside: int, height: int, says: int, glyphs: Glyphs) -> tuple[str, ...]:
    if height >= ROWS + says:
        for stroke, gap in _STROKES:
            if block_width(headline, stroke, gap) <= inside:
                return block_text(headline, glyphs, stroke, gap)
    small = small_block_text(headline, glyphs)
    if height >= SMALL_ROWS + says and max(map(len, small)) <= inside:
        return small
    return (headline,)
