"""The panel that says what to do: read in an instant, from a metre, from the corner of the eye."""

from dataclasses import dataclass

from pourcoach.domain.advice import Word
from pourcoach.tui.renderables.block_text import ROWS, block_text, block_width
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import TONES, Palette

BLOCK_HEIGHT = ROWS + 2
"""Rows from which on block letters are drawn: a margin above and the sentence below."""


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


_FITS = (
    _Fit((2, 2), (2, 2), 2),
    _Fit((2, 1), (2, 1), 2),
    _Fit((2, 1), (1, 1), 1),
    _Fit((1, 1), (1, 1), 1),
)


def draw_panel(
    word: Word,
    sentence: str,
    figure: str,
    caption: str,
    width: int,
    height: int,
    glyphs: Glyphs,
    palette: Palette,
) -> Cells:
    """``word`` in blocks to the left, ``figure`` to the right, below them what they mean."""
    pair = palette.tone(TONES[word])
    bold = pair.style(bold=True)
    cells = Cells(width, height, pair.style())
    if height < BLOCK_HEIGHT:
        cells.put(1, 0, f"{glyphs.marks[word]} {word.value}  {figure} {caption}", bold)
        cells.put(1, 1, sentence, pair.style())
        return cells
    fit = next((fit for fit in _FITS if fit.width() <= width), _FITS[-1])
    word_width = block_width(word.value, *fit.word)
    if fit.margin + word_width + 1 + block_width(figure, *fit.figure) > width:
        figure = figure.partition(".")[0]
    figure_width = block_width(figure, *fit.figure)
    figure_at = max(fit.margin + word_width + 1, width - fit.margin - figure_width)
    cells.put_rows(fit.margin, 1, block_text(word.value, glyphs, *fit.word), bold)
    cells.put_rows(figure_at, 1, block_text(figure, glyphs, *fit.figure), bold)
    caption_at = width - fit.margin - len(caption)
    below = 1 + ROWS if height == BLOCK_HEIGHT else 2 + ROWS
    room = caption_at - fit.margin - len(f"{glyphs.marks[word]}  ")
    says = f"{glyphs.marks[word]} {_shortened(sentence, max(0, room))}"
    cells.put(fit.margin, below, says, bold)
    cells.put(caption_at, below, caption, bold)
    return cells


def _shortened(text: str, room: int) -> str:
    """As many whole sentences as ``room`` columns hold; of the first at least its beginning."""
    while len(text) > room and ". " in text:
        text = text[: text.rindex(". ") + 1]
    return text[:room]
