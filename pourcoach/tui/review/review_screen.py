"""The review after a brew: the one thing to fix, then what it rests on."""

from collections.abc import Callable
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.afterwards import Impression, RemarkKind
from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.units import Seconds
from pourcoach.reports.brew.curve import brew_curve
from pourcoach.tui.dialogs.help_pages import REVIEW_PAGE
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.forms.cup_screen import CupScreen
from pourcoach.tui.forms.strength_screen import StrengthScreen
from pourcoach.tui.forms.water_screen import WaterScreen
from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.off_loop import Failed, off_loop
from pourcoach.tui.renderables.drawn_trace import DrawnTrace
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.paragraphs import paragraph_rows
from pourcoach.tui.renderables.verdict_head import verdict_height
from pourcoach.tui.review.exporting import ask_export
from pourcoach.tui.review.kept_brew import Keeper
from pourcoach.tui.review.panels import StageList, VerdictPanel
from pourcoach.tui.review.remark_questions import ask, ask_look
from pourcoach.tui.review.review_chart import ReviewChart
from pourcoach.tui.review.review_keys import BINDINGS, After, review_keys
from pourcoach.tui.review.review_view import ReviewView, review_view
from pourcoach.tui.sizes import ScreenSize, use_size
from pourcoach.tui.widgets.paragraphs import Paragraphs
from pourcoach.tui.widgets.text_row import KeyRow

# The stage table shows so many; a plan of more is read in the details.
MOST_ROWS = 9
# Block letters, a margin, and each sentence in at most two lines.
MOST_LEAD_ROWS = 10
MOST_RESULT_ROWS = 2
# The headline as text and its evidence.
PICKED_LEAD_ROWS = 3


class ReviewScreen(LeavesOnce[After]):
    """Shows one finished brew and gives what is to be done next."""

    DEFAULT_CSS = """
    ReviewScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    ReviewScreen #review-keys { height: 1; }
    ReviewScreen #middle { height: 1fr; }
    ReviewScreen #review-chart { width: 1fr; height: 100%; }
    ReviewScreen #side { width: 36; height: 100%; display: none; }
    ReviewScreen.-picked #side, ReviewScreen.-full #side { display: block; }
    ReviewScreen.-narrow #middle { layout: vertical; }
    ReviewScreen.-narrow #review-chart { height: 1fr; }
    ReviewScreen.-narrow #side { width: 100%; height: 4; }
    ReviewScreen.-bare #middle { display: none; }
    ReviewScreen.-tiny #result, ReviewScreen.-tiny #stages, ReviewScreen.-tiny #middle,
    ReviewScreen.-tiny #review-keys { display: none; }
    """
    BINDINGS: ClassVar[list[BindingType]] = BINDINGS
    ALLOW_SELECT = False

    def __init__(
        self,
        frame: Frame,
        plan: Plan | None,
        trace: DrawnTrace,
        rubric: Rubric,
        glyphs: Glyphs = FULL,
        *,
        can_replay: bool = False,
        can_repeat: bool = False,
        keeper: Keeper | None = None,
        arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
        compare: Callable[[Failed], None] | None = None,
    ) -> None:
        """``frame`` is the last of a brew that began under ``plan``, to be marked by ``rubric``.
        Without ``keeper`` what the brewer says of it cannot be kept. ``compare`` shows it beside
        another brew.
        """
        super().__init__()
        self._frame = frame
        self._plan = plan
        self._rubric = rubric
        self._glyphs = glyphs
        self._picked: int | None = None
        self._room = ScreenSize.COMPACT
        self._impressions: tuple[Impression, ...] = ()
        self._keeper = keeper
        self._compare = compare
        self._can = {"replay": can_replay, "again": can_repeat}
        self._said = ""
        self._dripped = arrangement is Arrangement.SERVER_ON_SCALE
        self._arrangement = arrangement
        view = review_view(frame, plan, rubric, arrangement=arrangement)
        self._view = view
        self._lead = VerdictPanel(glyphs, view.lead, id="lead")
        self._result = Paragraphs(glyphs, id="result")
        self._stages = StageList(glyphs, view.rows, id="stages")
        self._stages.styles.height = min(len(view.rows), MOST_ROWS) + 1 if view.rows else 0
        curve = brew_curve(frame, trace.points()).points
        self._chart = ReviewChart(
            glyphs,
            None if self._dripped else plan,
            [(point.t_s, point.mass_g) for point in curve],
            [] if self._dripped else [(point.t_s, point.flow_gps) for point in curve],
            view,
            id="review-chart",
        )
        self._side = Paragraphs(glyphs, id="side")
        self._keys = KeyRow(glyphs, id="review-keys")

    @property
    def picked_s(self) -> Seconds | None:
        """Where the stage that is looked at begins on the tape; None for the whole brew."""
        row = None if self._picked is None else self._view.rows[self._picked]
        return None if row is None or row.poured is None else row.poured.start_s

    def compose(self) -> ComposeResult:
        yield self._lead
        yield self._result
        yield self._stages
        with Horizontal(id="middle"):
            yield self._chart
            yield self._side
        yield self._keys

    def on_screen_resume(self) -> None:
        """Begun, or back from a form where something may have been kept."""
        if self._keeper is not None:
            # A library that cannot be read is reported when something is to be kept there.
            off_loop(self, self._keeper.impressions, self._take_impressions, lambda _: None)
        self._show()

    def _take_impressions(self, impressions: tuple[Impression, ...]) -> None:
        self._impressions = impressions
        self._show()

    def on_resize(self, event: events.Resize) -> None:
        self._room = use_size(self, event.size)
        self._show()

    def _lead_rows(self) -> int:
        """A stage that is looked at needs the room more than the headline does."""
        width, height = self.size
        most = height if self._room is ScreenSize.TINY else height // 2 - 1
        if self._picked is not None and self._room is not ScreenSize.TINY:
            most = PICKED_LEAD_ROWS
        return verdict_height(self._view.lead, width, min(most, MOST_LEAD_ROWS))

    def _show(self) -> None:
        self._view = view = review_view(
            self._frame,
            self._plan,
            self._rubric,
            self._picked,
            self._arrangement,
            self._impressions,
        )
        self.set_class(self._picked is not None, "-picked")
        self._lead.styles.height = self._lead_rows()
        result = self._said or self._result_line(view)
        self._result.styles.height = min(MOST_RESULT_ROWS, paragraph_rows(result, self.size.width))
        self._result.show(result)
        self._stages.show(view.picked)
        self._side.show(*view.side)
        self._chart.show(view)
        keys = review_keys(
            **self._can, compare=self._compare is not None, keeps=self._keeper is not None
        )
        self._keys.show(*keys)

    def _result_line(self, view: ReviewView) -> str:
        """With the marks where they fit beneath."""
        both = f"{view.result} {view.marks}".rstrip()
        fits = paragraph_rows(both, self.size.width) <= MOST_RESULT_ROWS
        return both if fits else view.result

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What cannot be done here has no key."""
        if action in ("look", "ask", "advice", "export", "cup"):
            return self._keeper is not None
        if action == "compare":
            return self._compare is not None
        if action == "leave":
            return self._can.get(str(parameters[0]), True)
        return super().check_action(action, parameters)

    def on_stage_list_picked(self, event: StageList.Picked) -> None:
        self.action_pick(event.index)

    def on_click(self) -> None:
        """A click anywhere else is the main action."""
        self.action_next()

    def action_next(self) -> None:
        """From the whole brew through the stages and back to the whole."""
        rows = len(self._view.rows)
        nth = 0 if self._picked is None else self._picked + 1
        self.action_pick(nth if nth < rows else -1)

    def action_pick(self, index: int) -> None:
        """Look at the stage of that index; -1 at the whole brew."""
        if index < len(self._view.rows):
            self._picked = index if index >= 0 else None
            self._show()

    def action_cup(self) -> None:
        if self._keeper is not None:
            self.app.push_screen(
                CupScreen(self._view.lead.headline, self._keeper.say, self._glyphs)
            )

    def action_compare(self) -> None:
        if self._compare is not None:
            self._compare(self._show_error)

    def action_details(self) -> None:
        self.app.push_screen(HelpScreen(self._view.page))

    def action_help(self) -> None:
        self.app.push_screen(HelpScreen(REVIEW_PAGE))

    def action_look(self) -> None:
        ask_look(self.app, self._frame.risk, self._keep_words)

    def action_ask(self, what: str) -> None:
        """Ask one of ``QUESTIONS``, and keep the answer, if any."""
        ask(self.app, what, self._keep_words)

    def action_advice(self) -> None:
        if self._keeper is not None:
            self._show_notice("Reading the brew again for advice.")
            off_loop(self, self._keeper.advice, self._advise, self._show_error)

    def _advise(self, lines: list[str]) -> None:
        self._show_notice("")
        if self.is_active:
            self.app.push_screen(HelpScreen("\n".join(lines)))

    def action_export(self) -> None:
        if self._keeper is not None:
            ask_export(self, self._keeper, self._rubric, self._show_notice)

    def action_strength(self) -> None:
        keeper, pour = self._keeper, self._frame.pour
        weighed_g = round(pour.water_g, 1)
        screen = StrengthScreen(
            self._glyphs,
            dose_g=None if self._plan is None else self._plan.dose_g,
            water_g=None if self._dripped else weighed_g,
            beverage_g=weighed_g if self._dripped else None,
            keep=None if keeper is None else keeper.strength,
        )
        self.app.push_screen(screen)
        if keeper is not None:
            off_loop(screen, keeper.earlier, screen.show_earlier, screen.say_of)

    def action_water(self) -> None:
        use = None if self._keeper is None else self._keeper.water
        self.app.push_screen(WaterScreen(self._glyphs, use=use))

    def _show_notice(self, sentence: str) -> None:
        self._said = sentence
        self._show()

    def _keep_words(self, kind: RemarkKind, text: str, done: str) -> None:
        keeper = self._keeper
        if keeper is None:
            return

        def keep() -> tuple[Impression, ...]:
            keeper.remark(kind, text)
            return keeper.impressions()

        def kept(impressions: tuple[Impression, ...]) -> None:
            self._impressions = impressions
            self._show_notice(done)

        off_loop(self, keep, kept, self._show_error)

    def _show_error(self, error: PourcoachError) -> None:
        self._show_notice(str(error))

    def action_leave(self, how: str) -> None:
        self.dismiss(After(how))
