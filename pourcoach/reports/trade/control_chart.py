"""The brewing control chart as lines of text: strength up, extraction across."""

from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.brewing.strength.error_ellipse import error_ellipse
from pourcoach.brewing.strength.extraction import RETAINED_G_PER_G, strength_drip_classic
from pourcoach.brewing.strength.measured_brew import Extraction
from pourcoach.brewing.strength.published_targets import (
    CHART_EXTRACTION_PCT,
    CHART_RATIOS,
    CHART_STRENGTH_PCT,
    CLASSIC_EXTRACTION_PCT,
    CLASSIC_STRENGTH_PCT,
)
from pourcoach.domain.units import Percent


@dataclass(frozen=True, slots=True)
class ChartMarks:
    """One character for each thing on the chart; a screen may colour by it."""

    box: str
    ratio: str
    earlier: str
    ellipse: str
    brew: str
    outside: str
    side: str
    corner: str
    floor: str


BLOCK_MARKS = ChartMarks("░", "·", "○", "∙", "●", "◆", "│", "└", "─")
ASCII_MARKS = ChartMarks(":", ".", "o", "*", "@", "#", "|", "+", "-")

LEAST_WIDTH, LEAST_HEIGHT = 25, 7
_LABEL_EVERY_PCT = 2.0


def control_chart(
    brew: Extraction | None,
    earlier: Sequence[tuple[Percent, Percent]] = (),
    *,
    width: int = 61,
    height: int = 19,
    marks: ChartMarks = BLOCK_MARKS,
) -> list[str]:
    """The chart, ``height`` rows of plot and three lines below it.

    ``earlier`` are (extraction, strength) of other brews. The lines of equal ratio are the
    classic drip form with 2 g kept by each gram. A point off the chart stands at its edge with a
    mark of its own. Sizes below 25 x 7 are drawn at that.
    """
    plot = _Plot(max(width, LEAST_WIDTH), max(height, LEAST_HEIGHT))
    plot.fill_box(marks.box)
    plot.draw_ratio_lines(marks.ratio)
    for extraction_pct, strength_pct in earlier:
        plot.put(extraction_pct, strength_pct, marks.earlier, marks.outside)
    if brew is not None:
        for extraction_pct, strength_pct in error_ellipse(brew):
            plot.put(extraction_pct, strength_pct, marks.ellipse, None)
        plot.put(brew.extraction_pct.value, brew.strength_pct.value, marks.brew, marks.outside)
    return [*plot.lines(marks), *_legend(marks, brew, bool(earlier))]


def _legend(marks: ChartMarks, brew: Extraction | None, earlier: bool) -> list[str]:
    known = [f"{marks.box} classic box", f"{marks.ratio} equal ratio"]
    if brew is not None:
        known += [f"{marks.brew} this brew", f"{marks.ellipse} its 95 % region"]
    if earlier:
        known.append(f"{marks.earlier} earlier")
    return ["       " + "  ".join(known)]


class _Plot:
    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self.cells = [[" "] * width for _ in range(height)]
        self.right_labels = [""] * height

    def fill_box(self, mark: str) -> None:
        for row in range(self.height):
            for column in range(self.width):
                inside_s = _within(self._strength_at(row), CLASSIC_STRENGTH_PCT)
                inside_e = _within(self._extraction_at(column), CLASSIC_EXTRACTION_PCT)
                if inside_s and inside_e:
                    self.cells[row][column] = mark

    def draw_ratio_lines(self, mark: str) -> None:
        for ratio in CHART_RATIOS[::2]:
            passed = []
            for column in range(self.width):
                extraction_pct = self._extraction_at(column)
                strength_pct = strength_drip_classic(extraction_pct, ratio, RETAINED_G_PER_G)
                row = self._row(strength_pct)
                if 0 <= row < self.height:
                    passed.append((row, column))
            # Every other cell: a thin line that leaves the points in front.
            for row, column in passed[::2]:
                self.cells[row][column] = mark
            self._label_line(f"1:{ratio:g}", *passed[-1])

    def _label_line(self, label: str, row: int, column: int) -> None:
        """Beside the plot where the line leaves at the right, else in its topmost row."""
        if column == self.width - 1:
            self.right_labels[row] = label
        else:
            start = max(0, column - len(label))
            self.cells[row][start : start + len(label)] = label

    def put(
        self, extraction_pct: Percent, strength_pct: Percent, mark: str, outside: str | None
    ) -> None:
        row, column = self._row(strength_pct), self._column(extraction_pct)
        inside = 0 <= row < self.height and 0 <= column < self.width
        if inside:
            self.cells[row][column] = mark
        elif outside is not None:
            row = min(max(row, 0), self.height - 1)
            column = min(max(column, 0), self.width - 1)
            self.cells[row][column] = outside

    def lines(self, marks: ChartMarks) -> list[str]:
        lines = []
        for row, cells in enumerate(self.cells):
            label = "" if row % 2 else f"{self._strength_at(row):.2f}"
            text = f"{label:>5} {marks.side}{''.join(cells)} {self.right_labels[row]}"
            lines.append(text.rstrip())
        lines.append(f"{'%TDS':>5} {marks.corner}{marks.floor * self.width}")
        below = [" "] * (self.width + 4)
        value = CHART_EXTRACTION_PCT[0]
        while value <= CHART_EXTRACTION_PCT[1]:
            label = f"{value:g}"
            at = self._column(value)
            below[at : at + len(label)] = label
            value += _LABEL_EVERY_PCT
        lines.append((" " * 7 + "".join(below)).rstrip() + " % extraction")
        return lines

    def _strength_at(self, row: int) -> float:
        low, high = CHART_STRENGTH_PCT
        return high - (high - low) * row / (self.height - 1)

    def _extraction_at(self, column: int) -> float:
        low, high = CHART_EXTRACTION_PCT
        return low + (high - low) * column / (self.width - 1)

    def _row(self, strength_pct: float) -> int:
        low, high = CHART_STRENGTH_PCT
        return round((high - strength_pct) / (high - low) * (self.height - 1))

    def _column(self, extraction_pct: float) -> int:
        low, high = CHART_EXTRACTION_PCT
        return round((extraction_pct - low) / (high - low) * (self.width - 1))


def _within(value: float, bounds: tuple[float, float]) -> bool:
    # A hair of room, so that a cell whose centre falls on the edge counts as within.
    return bounds[0] - 1e-9 <= value <= bounds[1] + 1e-9
