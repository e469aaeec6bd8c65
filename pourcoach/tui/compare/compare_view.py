"""What the compare screen shows, as one value."""

from dataclasses import dataclass

from pourcoach.domain.units import Grams, Seconds
from pourcoach.reports.columns import in_columns
from pourcoach.reports.comparison.comparison import Comparison
from pourcoach.reports.comparison.comparison_text import brew_title, headline, part_cells
from pourcoach.reports.comparison.curves import part_curves


@dataclass(frozen=True, slots=True)
class CompareView:
    """All of it; the table is set where it is drawn, since what it leaves out depends on room."""

    letters: str
    brews: tuple[str, ...]
    """A line each: letter, recording, who and when, and what its review leads with."""
    headline: str
    part: str
    """What is laid over each other: the whole brew or a stage."""
    curves: tuple[tuple[tuple[Seconds, Grams], ...], ...]
    cells: tuple[tuple[str, ...], ...]
    """The table of that part, headings first: a quantity, the first brew, and for each other one
    its figure and its difference."""
    picked: int
    """The brew that is set against the first one, from 1."""


def compare_view(comparison: Comparison, part: int, picked: int) -> CompareView:
    """Of part ``part`` of the comparison, 0 for the whole brew."""
    brews = comparison.brews
    return CompareView(
        comparison.letters,
        tuple(
            f"{brew_title(comparison, place)}{_lead(comparison, place)}"
            for place in range(len(brews))
        ),
        headline(comparison),
        comparison.parts[part].title,
        tuple(tuple(curve) for curve in part_curves(comparison, part)),
        tuple(part_cells(comparison, comparison.parts[part])),
        picked,
    )


def table_lines(view: CompareView, width: int) -> list[str]:
    """The table in ``width`` columns: with all brews where they fit, else with the first and the
    picked one.
    """
    right = frozenset(range(1, len(view.cells[0])))
    lines = in_columns(view.cells, right=right)
    if max(map(len, lines)) <= width:
        return lines
    own = 2 * view.picked
    kept = [(*row[:2], *row[own : own + 2]) for row in view.cells]
    return in_columns(kept, right=frozenset(range(1, 4)))


def _lead(comparison: Comparison, place: int) -> str:
    lead = comparison.brews[place].lead
    return "" if lead is None else f": {lead.headline}"
