"""The drills: one is picked, with what it asks for below."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from pourcoach.domain.errors import PourcoachError
from pourcoach.practice.drill.drill import Drill
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.off_loop import off_loop
from pourcoach.tui.practice.head import Head, HeadPanel
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.palette import Palette, Tone
from pourcoach.tui.widgets.painted import Painted
from pourcoach.tui.widgets.paragraphs import Paragraphs
from pourcoach.tui.widgets.text_row import KeyRow
from pourcoach.wording import practice as words

MARGIN = 2


@dataclass(frozen=True, slots=True)
class DrillOffer:
    """A drill, with where the student stands in it."""

    drill: Drill
    stands: str
    """A few words; empty where nothing was practised."""


class DrillList(Painted):
    """Titles, the picked one marked; scrolls so that it is seen."""

    _offers: Sequence[DrillOffer] = ()
    _at = 0

    def show(self, offers: Sequence[DrillOffer], at: int) -> None:
        """Show these from now on."""
        self._offers, self._at = offers, at
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        plain = palette.on_ground(palette.text.ink)
        cells = Cells(width, height, plain)
        first = max(0, min(self._at - height // 2, len(self._offers) - height))
        title_width = max((len(offer.drill.title) for offer in self._offers), default=0)
        for row, offer in enumerate(self._offers[first : first + height]):
            picked = first + row == self._at
            style = palette.target.style(bold=True) if picked else plain
            mark = self.glyphs.running if picked else " "
            line = f" {mark} {offer.drill.title:<{title_width}}  {offer.stands}"
            cells.put(MARGIN, row, f"{line:<{max(0, width - 2 * MARGIN)}}", style)
        return cells


class DrillsScreen(LeavesOnce[Drill | None]):
    """Gives the drill that was picked; None where it was left."""

    DEFAULT_CSS = """
    DrillsScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    DrillsScreen #head { height: 8; }
    DrillsScreen #drills { height: 1fr; min-height: 3; margin: 0 0 1 0; }
    DrillsScreen #about { height: 7; }
    DrillsScreen #keys { height: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter", "pick", "Practise it", priority=True),
        Binding("up", "move(-1)", "The one above", priority=True),
        Binding("down", "move(1)", "The one below", priority=True),
        Binding("p", "progress", "What was learnt", priority=True),
        Binding("escape,q", "leave", "Back", priority=True),
    ]

    def __init__(
        self,
        offers: Sequence[DrillOffer],
        scale: str,
        by: str | None,
        glyphs: Glyphs = FULL,
        *,
        learnt: Callable[[], list[str]] = list,
    ) -> None:
        """``scale`` is the address that the drill will be poured on; ``learnt`` gives the lines of
        the student's progress, in a thread.
        """
        super().__init__()
        self._offers = offers
        self._scale = scale
        self._by = by
        self._learnt = learnt
        self._at = 0
        self._panel = HeadPanel(glyphs, id="head")
        self._list = DrillList(glyphs, id="drills")
        self._about = Paragraphs(glyphs, id="about")
        self._key_row = KeyRow(glyphs, id="keys")

    def compose(self) -> ComposeResult:
        yield self._panel
        yield self._list
        yield self._about
        yield self._key_row

    def on_mount(self) -> None:
        self._show()

    def on_resize(self) -> None:
        self._show()

    def _show(self) -> None:
        who = "" if self._by is None else f"{self._by}: "
        drill = self._offers[self._at].drill
        self._panel.show(
            Head("PRACTISE", Tone.TARGET, sentence=f"{who}Enter practises on {self._scale}")
        )
        self._list.show(self._offers, self._at)
        judged = "; ".join(words.judged_sentences(drill))
        self._about.show(drill.task_at(1.0), f"Judged: {judged}. Needed: {drill.needs}.")
        self._key_row.show(
            ("enter", "Practise"),
            ("up", "Above"),
            ("down", "Below"),
            ("p", "Progress"),
            ("esc", "Back"),
        )

    def action_move(self, way: int) -> None:
        self._at = (self._at + way) % len(self._offers)
        self._show()

    def action_pick(self) -> None:
        self.dismiss(self._offers[self._at].drill)

    def action_progress(self) -> None:
        """What the tests show; a key goes back."""

        def show(lines: list[str]) -> None:
            self.app.push_screen(HelpScreen(("PROGRESS", "", *lines)))

        def failed(error: PourcoachError) -> None:
            self.app.push_screen(HelpScreen((str(error),)))

        off_loop(self, self._learnt, show, failed)

    def action_leave(self) -> None:
        self.dismiss(None)
