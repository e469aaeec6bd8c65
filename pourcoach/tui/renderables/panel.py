"""The panel that says what to do: read in an instant, from a metre, from the corner of the eye."""

from dataclasses import dataclass
from functools import lru_cache
from textwrap import wrap

from pourcoach.domain.advice import Word
from pourcoach.tui.renderables.block_text import ROWS, block_text, block_width
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette, Tone

BLOCK_HEIGHT = ROWS + 2
"""Rows from which on block letters are drawn: a margin above and the sentence below."""

APART = 3
_NUMBERS = frozenset("0123456789+-")


@dataclass(frozen=True, slots=True)
class _Fit:
    """How wide strokes and gaps are drawn; a word keeps its size while the screen keeps its."""

    word: tuple[int, int]
    """Stroke and gap."""
    figure: tuple[int, int]
    margin: int

    def width(self) -> int:
        """For the longest word beside a weight; only these two touch the right edge then."""
        word = max(block_width(word.value, *self.word) for word in Word)
        return self.margin + word + 1 + block_width("888.8", *self.figure)


_FITS = tuple(
    (fit, fit.width())
    for fit in (
        _Fit((2, 2), (2, 2), 2),
        _Fit((2, 1), (2, 1), 2),
        _Fit((2, 1), (1, 1), 1),
        _Fit((1, 1), (1, 1), 1),
    )
)
"""The widest first, each with the columns it needs: worked out once, not with every draw."""


def draw_panel(
    word: Word,
    tone: Tone,
    sentence: str,
    figure: str,
    caption: str,
    width: int,
    height: int,
    glyphs: Glyphs,
    palette: Palette,
) -> Cells:
    """``word`` in blocks to the left, ``figure`` to the right, below them what they mean, in as
    many rows as ``height`` leaves. A figure too wide for blocks is plain text.
    """
    bold = palette.tone(tone).style(bold=True)
    if height < BLOCK_HEIGHT:
        cells = Cells(width, height, palette.tone(tone).style())
        cells.put(1, 0, f"{glyphs.marks[word]} {word.value}  {figure} {caption}", bold)
        cells.put(1, 1, sentence, palette.tone(tone).style())
        return cells
    # All but the figure stays the same for seconds.
    cells = _without_figure(word, tone, sentence, caption, width, height, glyphs, palette).copy()
    fit = _fit(width)
    word_width = block_width(word.value, *fit.word)
    if fit.margin + word_width + 1 + block_width(figure, *fit.figure) > width:
        figure = figure.partition(".")[0]
    figure_rows = _blocks(figure, width - fit.margin - word_width - 1, fit, glyphs)
    figure_at = max(fit.margin + word_width + 1, width - fit.margin - len(figure_rows[0]))
    cells.put_rows(figure_at, 1, figure_rows, bold)
    return cells


def _fit(width: int) -> _Fit:
    return next((fit for fit, least in _FITS if least <= width), _FITS[-1][0])


@lru_cache(maxsize=16)
def _without_figure(
    word: Word,
    tone: Tone,
    sentence: str,
    caption: str,
    width: int,
    height: int,
    glyphs: Glyphs,
    palette: Palette,
) -> Cells:
    """The panel as ``draw_panel`` draws it, before the figure. Not to be written to."""
    fit = _fit(width)
    # Blanks too: a row of one style is one piece to send.
    bold = palette.tone(tone).style(bold=True)
    cells = Cells(width, height, bold)
    cells.put_rows(fit.margin, 1, block_text(word.value, glyphs, *fit.word), bold)
    mark = f"{glyphs.marks[word]} "
    at = fit.margin + len(mark)
    lines = _lines(sentence, width - fit.margin - at, len(caption) + 1, height - 1 - ROWS)
    top = min(height - len(lines), ROWS + 2)
    cells.put(fit.margin, top, mark, bold)
    for down, line in enumerate(lines):
        cells.put(at, top + down, line, bold)
    cells.put(width - fit.margin - len(caption), top, caption, bold)
    return cells


def _blocks(figure: str, room: int, fit: _Fit, glyphs: Glyphs) -> tuple[str, ...]:
    """In the size of a weight, in the smallest, or as text in the middle row."""
    for stroke, gap in (fit.figure, _FITS[-1][0].figure):
        # Letters beside letters read as one word without a gap.
        narrowest = (stroke, gap) == _FITS[-1][0].figure
        apart = 0 if narrowest or figure[:1] in _NUMBERS else APART
        if block_width(figure, stroke, gap) + apart <= room:
            return block_text(figure, glyphs, stroke, gap)
    blank = " " * len(figure)
    return (blank, blank, figure, blank, blank)


def _lines(text: str, width: int, beside: int, most: int) -> list[str]:
    """At most ``most`` lines, the first of them ``beside`` columns shorter. Of a text too long
    whole sentences are kept; of the first at least its beginning.
    """
    lines = _wrapped(text, width, beside)
    while len(lines) > most and ". " in text:
        text = text[: text.rindex(". ") + 1]
        lines = _wrapped(text, width, beside)
    return lines[: max(1, most)]


def _wrapped(text: str, width: int, beside: int) -> list[str]:
    """Words are never cut, unless one alone is too long."""
    # The caption's columns are held by a word that is taken off again.
    held = "\0" * min(beside, max(0, width - 1))
    first, *others = wrap(f"{held} {text}" if held else text, max(1, width)) or [""]
    return [first.removeprefix(held).lstrip(), *others]
