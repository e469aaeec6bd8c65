"""What is known of the brew that is picked: a few lines, and its curve."""

from textual.app import ComposeResult
from textual.containers import Horizontal

from pourcoach.domain.printable import printable
from pourcoach.library.records import Brew, OpenedBrew
from pourcoach.recordings.shipped import stem_of
from pourcoach.session.kept.rows import figures_line, said_line
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.start.plan_picture import PlanPicture
from pourcoach.tui.widgets.paragraphs import Paragraphs

LONGEST = 300
"""Characters of one line; the review has the rest."""


class PreviewLines(Paragraphs):
    """Beside the curve."""

    more = "enter  more"


class Preview(Horizontal):
    """Shows one brew."""

    DEFAULT_CSS = """
    Preview #facts, Preview #curve { width: 1fr; height: 100%; }
    """

    def __init__(self, glyphs: Glyphs, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._opened: OpenedBrew | None = None
        self._facts = PreviewLines(glyphs, id="facts")
        self._curve = PlanPicture(glyphs, id="curve")

    def compose(self) -> ComposeResult:
        yield self._facts
        yield self._curve

    def show(self, brew: Brew | None, opened: OpenedBrew | None, search: str) -> None:
        """Show these from now on; as ``preview_lines`` takes them."""
        self._facts.show(*preview_lines(brew, opened, search))
        if opened is self._opened:
            return
        self._opened = opened
        judgement = None if opened is None else opened.judgement
        points = () if judgement is None else tuple(point[:2] for point in judgement.curve)
        self._curve.show(None if opened is None else opened.plan, points)


def name_of(brew: Brew) -> str:
    """Its title; else its recording's name."""
    return brew.title or stem_of(brew.tape)


def preview_lines(brew: Brew | None, opened: OpenedBrew | None, search: str) -> list[str]:
    """``opened`` is None while it is not read; ``search`` what the list was searched for."""
    if brew is None:
        if search:
            return ["No brew is like that. Esc shows all again."]
        return ["No brew is kept yet: brew, or import recordings with 'pourcoach sessions import'."]
    names = [name_of(brew), *(f"#{tag}" for tag in brew.tags)]
    lines = [f"{' '.join(names)}: {brew.headline or 'not judged yet'}"]
    if brew.is_missing:
        lines.append("Its recording is gone; what is known of it is kept.")
    if opened is not None:
        lines.append(figures_line(brew, opened.judgement))
        lines += [said_line(note) for note in reversed(opened.cup_notes)]
        lines += [said_line(remark) for remark in reversed(opened.remarks)]
    return [printable(line, LONGEST) for line in lines if line]
