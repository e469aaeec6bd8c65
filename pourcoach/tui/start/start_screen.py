"""Where one begins: a scale, a plan, brew; or a recording to play again."""

from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.suggester import Suggester

from pourcoach.domain.advice import Word
from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.units import Seconds
from pourcoach.recordings.tape import SUFFIXES, header_of
from pourcoach.scales.address import KINDS, ScaleAddress
from pourcoach.tui.dialogs.dialogs import AskScreen
from pourcoach.tui.dialogs.help_pages import START_PAGE
from pourcoach.tui.dialogs.help_screen import HelpScreen
from pourcoach.tui.forms.strength_screen import StrengthScreen
from pourcoach.tui.forms.water_screen import WaterScreen
from pourcoach.tui.leaves_once import LeavesOnce
from pourcoach.tui.off_loop import off_loop
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.sizes import LEAST_HEIGHT, LEAST_WIDTH, ScreenSize, use_size
from pourcoach.tui.start.offer_lists import RECORDINGS, OfferLists
from pourcoach.tui.start.path_suggester import PathSuggester
from pourcoach.tui.start.picked import StartAction, StartChoice
from pourcoach.tui.start.plan_picture import PlanPicture
from pourcoach.tui.start.previews import Previews, Read
from pourcoach.tui.start.start_keys import BINDINGS, KEYS
from pourcoach.tui.start.start_lines import main_line, recording_line
from pourcoach.tui.start.start_offers import (
    PlanOffer,
    RecordingOffer,
    StartOffers,
    plan_offer_from,
    recording_offer,
)
from pourcoach.tui.start.title_panel import TitlePanel
from pourcoach.tui.widgets.text_row import KeyRow, TextRow

# Long enough to be read; then the keys are back.
CONFIRMED_S: Seconds = 4.0


class StartScreen(LeavesOnce[StartChoice]):
    """Gives what was picked."""

    DEFAULT_CSS = """
    StartScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    StartScreen #title { height: 6; }
    StartScreen #notice, StartScreen #start-keys { height: 1; }
    StartScreen #plan-line { height: 3; }
    StartScreen #notice { display: none; }
    StartScreen.-noticed #notice { display: block; }
    StartScreen.-noticed #start-keys { display: none; }
    StartScreen #picture { height: 7; }
    StartScreen.-full #title { height: 8; }
    StartScreen.-full #plan-line { height: 2; }
    StartScreen.-full #picture { height: 12; }
    StartScreen.-narrow #picture { display: none; }
    StartScreen.-narrow #plan-line { height: 3; }
    StartScreen.-bare #title { height: 2; }
    StartScreen.-bare #picture { display: none; }
    StartScreen.-bare #plan-line { height: 1; }
    StartScreen.-bare.-noticed #plan-line { display: none; }
    StartScreen.-tiny #title { height: 1fr; }
    StartScreen.-tiny #lists, StartScreen.-tiny #picture, StartScreen.-tiny #plan-line,
    StartScreen.-tiny #notice, StartScreen.-tiny #start-keys { display: none; }
    """
    BINDINGS: ClassVar[list[BindingType]] = BINDINGS

    def __init__(
        self,
        offers: StartOffers,
        glyphs: Glyphs = FULL,
        *,
        look: Callable[[], StartOffers],
        read: Read,
        by: str | None = None,
        before: StartChoice | None = None,
        notice: str | None = None,
    ) -> None:
        """``look`` looks again for what can be picked, ``read`` reads a recording's preview; both
        run in a thread. ``before`` is what was picked the last time, ``notice`` a sentence on how
        that went.
        """
        super().__init__()
        self._look = look
        self._glyphs = glyphs
        self._before = before
        self._by = by if before is None else before.by
        self._arrangement = Arrangement.BREWER_ON_SCALE if before is None else before.arrangement
        self._room = ScreenSize.COMPACT
        self._confirmed = ""
        self._previews = Previews(self, read, self._show)
        self._notice_text = notice or offers.notice
        self._title = TitlePanel(glyphs, id="title")
        self._lists = OfferLists(offers, glyphs, id="lists")
        self._plan_line = TextRow(glyphs, id="plan-line")
        self._picture = PlanPicture(glyphs, id="picture")
        self._notice = TextRow(glyphs, id="notice")
        self._keys = KeyRow(glyphs, id="start-keys")

    def compose(self) -> ComposeResult:
        yield self._title
        yield self._lists
        yield self._plan_line
        yield self._picture
        yield self._notice
        yield self._keys

    def on_mount(self) -> None:
        if self._before is not None:
            self._pick_again(self._before)
        self._lists.focus_at(0 if self._before is None else self._before.focused)
        self._show()

    def on_resize(self, event: events.Resize) -> None:
        self._room = use_size(self, event.size)
        self._lists.set_class(self._room is ScreenSize.BARE, "-one")
        self._show()

    def on_option_list_option_highlighted(self) -> None:
        self._show()

    def on_descendant_focus(self) -> None:
        self._show()

    def on_title_panel_clicked(self) -> None:
        self.action_main()

    def _pick_again(self, before: StartChoice) -> None:
        self._lists.pick_scale(before.scale)
        self._lists.pick_plan(PlanOffer("before", before.plan))
        if before.recording is not None:
            self._lists.pick_recording(recording_offer(before.recording))

    def _start(self, action: StartAction) -> StartChoice:
        lists, recording = self._lists, self._lists.recording
        return StartChoice(
            action,
            lists.scale,
            lists.plan,
            None if recording is None else recording.path,
            self._by,
            self._arrangement,
            lists.focused_at,
        )

    # To the screen

    def _show(self) -> None:
        if not self.is_mounted:
            return
        recording = self._lists.recording
        replayed = recording if self._lists.on_recordings else None
        self._title.show(
            main_line(self._lists.scale, replayed, self._by, self._arrangement)
            if self._room is not ScreenSize.TINY
            else f"Too small: needs {LEAST_WIDTH}x{LEAST_HEIGHT}"
        )
        if self._lists.on_recordings and recording is not None:
            self._show_recording(recording)
        else:
            offer = self._lists.plan_offer
            self._plan_line.show("PLAN", offer.what)
            self._picture.show(offer.plan)
        self.set_class(self._notice_text is not None, "-noticed")
        if self._notice_text is not None:
            self._notice.show("!", self._notice_text, "? Help", loud=True)
            self._notice.styles.height = self._notice.rows_for(self.size.width)
        main = ("enter", "Replay" if self._lists.on_recordings else "Brew")
        confirmed = (self._glyphs.marks[Word.DONE], self._confirmed)
        self._keys.show(*((confirmed,) if self._confirmed else (main, *KEYS)))

    def _show_recording(self, offer: RecordingOffer) -> None:
        seen = self._previews.get(offer.path)
        self._plan_line.show("RECORDING", recording_line(offer, seen))
        self._picture.show(*((None, ()) if seen is None else (seen.plan, seen.points)))

    def _show_notice(self, notice: str | None) -> None:
        self._notice_text = notice
        self._show()

    def _confirm(self, done: str) -> None:
        self._confirmed = done
        self._show_notice(None)
        self.set_timer(CONFIRMED_S, self._unconfirm)

    def _unconfirm(self) -> None:
        self._confirmed = ""
        self._show()

    # Keys

    def action_main(self) -> None:
        self.action_go("replay" if self._lists.on_recordings else "brew")

    def action_go(self, action: str) -> None:
        start = self._start(StartAction(action))
        if start.action is StartAction.REPLAY and start.recording is None:
            self._show_notice("There is no recording yet: brew, and one is kept.")
        else:
            self.dismiss(start)

    def action_focus_list(self, way: int) -> None:
        self._lists.focus_list(way)

    def action_look(self) -> None:
        """Look again, keeping what is picked."""
        off_loop(self, self._look, self._looked, lambda error: self._show_notice(str(error)))

    def _looked(self, offers: StartOffers) -> None:
        picked = self._start(StartAction.BREW)
        self._lists.offer(offers)
        self._pick_again(picked)
        plugged = sum(offer.address.startswith("serial:") for offer in offers.scales)
        ports = f"{plugged} serial port{'' if plugged == 1 else 's'}"
        count = len(offers.recordings)
        self._confirm(f"Looked again: {ports}, {count} recording{'' if count == 1 else 's'}.")
        if offers.notice is not None:
            self._show_notice(offers.notice)

    def action_arrangement(self) -> None:
        """The other arrangement."""
        brewer, server = Arrangement
        self._arrangement = server if self._arrangement is brewer else brewer
        self._show()

    def action_address(self) -> None:
        self._ask(
            "Scale address: serial:PORT, ble:NAME, sim:PROFILE, kettle: or tape:FILE",
            lambda text: self._lists.pick_scale(str(ScaleAddress.parse(text))),
            PathSuggester(("",), [f"{kind}:" for kind in KINDS]),
        )

    def action_plan_file(self) -> None:
        self._ask(
            "Plan file (TOML)",
            lambda text: self._lists.pick_plan(plan_offer_from(Path(text).expanduser())),
            PathSuggester((".toml",)),
        )

    def action_recording_file(self) -> None:
        self._ask("Recording (.jsonl, .jsonl.gz)", self._open_recording, PathSuggester(SUFFIXES))

    def _open_recording(self, text: str) -> None:
        path = Path(text).expanduser()
        header_of(path)
        self._lists.pick_recording(recording_offer(path))
        self._lists.focus_at(RECORDINGS)

    def _ask(self, question: str, act: Callable[[str], None], suggester: Suggester) -> None:
        """Act on the answer; say where it cannot be acted on."""

        def answered(text: str | None) -> None:
            if not text:
                return
            try:
                act(text)
                self._show_notice(None)
            except PourcoachError as error:
                self._show_notice(str(error))

        self.app.push_screen(AskScreen(question, suggester=suggester), answered)

    def action_who(self) -> None:
        def answered(text: str | None) -> None:
            if text is not None:
                self._by = text or None
                self._show()

        question = "Who brews? Empty: nobody by name"
        self.app.push_screen(AskScreen(question, self._by or ""), answered)

    def action_strength(self) -> None:
        self.app.push_screen(StrengthScreen(self._glyphs, dose_g=self._lists.plan.dose_g))

    def action_water(self) -> None:
        self.app.push_screen(WaterScreen(self._glyphs))

    def action_help(self) -> None:
        self.app.push_screen(HelpScreen(START_PAGE))
