"""Where one begins: a scale, a plan, brew; or a recording to play again."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from pourcoach.domain.errors import PourcoachError
from pourcoach.domain.plan import Plan
from pourcoach.scales.address import ScaleAddress
from pourcoach.tui.ask_screen import AskScreen
from pourcoach.tui.help_screen import HelpScreen
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.sizes import LEAST_HEIGHT, LEAST_WIDTH, ScreenSize, size_for
from pourcoach.tui.start_offers import PlanOffer, ScaleOffer, StartOffers, plan_offer_from
from pourcoach.tui.strength_screen import StrengthScreen
from pourcoach.tui.water_screen import WaterScreen
from pourcoach.tui.widgets.painted import Painted
from pourcoach.tui.widgets.plan_picture import PlanPicture
from pourcoach.tui.widgets.text_row import KeyRow, TextRow
from pourcoach.tui.widgets.title_panel import TitlePanel


class Errand(Enum):
    """What the user wants from the start screen."""

    BREW = "brew"
    REPLAY = "replay"
    QUIT = "quit"


@dataclass(frozen=True, slots=True)
class Start:
    """An errand, with what it needs."""

    errand: Errand
    scale: str
    """Scale address."""
    plan: Plan
    recording: Path | None
    by: str | None
    """Who brews; None where nobody was named."""


_HELP = """\
Pick a scale on the left and a plan in the middle, then press Enter to
brew. With the recordings in focus Enter plays the one picked.

A simulated scale pours by itself: a way to see what a brew looks like
before there is a scale.

  enter, space   brew; replay        tab, left, right   the next list
  up, down       pick                a   type a scale address
  p   open a plan file               y   say who brews
  l   look again for scales          s   strength and extraction
  w   brew water                     q   quit

What the program keeps stays on this machine."""


class StartScreen(Screen[Start]):
    """Gives what was picked. Lists keep their pick when another is in focus."""

    DEFAULT_CSS = """
    StartScreen { background: $ground; color: $ink; overflow: hidden; layout: vertical; }
    StartScreen #title { height: 7; }
    StartScreen #lists { height: 1fr; min-height: 4; }
    StartScreen #lists Vertical { width: 1fr; height: 100%; }
    StartScreen .heading { height: 1; padding: 0 2; color: $dim; text-style: bold; }
    StartScreen OptionList {
        height: 1fr; border: none; padding: 0; background: $ground; color: $ink;
        scrollbar-size-vertical: 1; text-wrap: nowrap; text-overflow: ellipsis;
    }
    StartScreen OptionList:focus { border: none; background: $ground; }
    StartScreen OptionList > .option-list--option { padding: 0 2; color: $ink; }
    StartScreen OptionList > .option-list--option-highlighted {
        background: $wait-ground; color: $wait-ink; text-style: bold;
    }
    StartScreen OptionList:focus > .option-list--option-highlighted {
        background: $target-ground; color: $target-ink; text-style: bold;
    }
    StartScreen #plan-line, StartScreen #notice, StartScreen #start-keys { height: 1; }
    StartScreen #notice { display: none; }
    StartScreen.-noticed #notice { display: block; }
    StartScreen.-noticed #start-keys { display: none; }
    StartScreen #picture { height: 7; }
    StartScreen.-full #title { height: 8; }
    StartScreen.-full #picture { height: 12; }
    StartScreen.-narrow #picture { display: none; }
    StartScreen.-bare #title { height: 2; }
    StartScreen.-bare #picture { display: none; }
    StartScreen.-bare #lists Vertical { display: none; }
    StartScreen.-bare #lists Vertical:focus-within { display: block; }
    StartScreen.-tiny #title { height: 1fr; }
    StartScreen.-tiny #lists, StartScreen.-tiny #picture, StartScreen.-tiny #plan-line,
    StartScreen.-tiny #notice, StartScreen.-tiny #start-keys { display: none; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter", "main", "Brew", priority=True),
        Binding("tab,right", "focus_list(1)", "Next list", priority=True),
        Binding("shift+tab,left", "focus_list(-1)", "List before", priority=True),
        Binding("r", "go('replay')", "Replay", priority=True),
        Binding("a", "address", "Address", priority=True),
        Binding("p", "plan_file", "Plan file", priority=True),
        Binding("y", "who", "Who", priority=True),
        Binding("l", "look", "Look again", priority=True),
        Binding("s", "strength", "Strength", priority=True),
        Binding("w", "water", "Water", priority=True),
        Binding("question_mark", "help", "Help", priority=True),
        Binding("q,escape", "go('quit')", "Quit", priority=True),
    ]

    def __init__(
        self,
        look: Callable[[], StartOffers],
        glyphs: Glyphs = FULL,
        *,
        by: str | None = None,
        before: Start | None = None,
        notice: str | None = None,
    ) -> None:
        """``look`` finds what is on offer. ``before`` is what was picked the last time,
        ``notice`` a sentence on how that went.
        """
        super().__init__()
        self._look = look
        self._glyphs = glyphs
        self._before = before
        self._by = by if before is None else before.by
        self._notice_text = notice
        self._room = ScreenSize.COMPACT
        self._offers = look()
        self._title = TitlePanel(glyphs, id="title")
        self._scales = OptionList(id="scales", markup=False)
        self._plans = OptionList(id="plans", markup=False)
        self._recordings = OptionList(id="recordings", markup=False)
        if not glyphs.halves:
            # The ellipsis is no ASCII character.
            for options in (self._scales, self._plans, self._recordings):
                options.styles.text_overflow = "clip"
        self._plan_line = TextRow(glyphs, id="plan-line")
        self._picture = PlanPicture(glyphs, id="picture")
        self._notice = TextRow(glyphs, id="notice")
        self._keys = KeyRow(glyphs, id="start-keys")

    def compose(self) -> ComposeResult:
        yield self._title
        with Horizontal(id="lists"):
            for heading, options in (
                ("SCALE", self._scales),
                ("PLAN", self._plans),
                ("RECORDING", self._recordings),
            ):
                with Vertical():
                    yield Static(heading, classes="heading")
                    yield options
        yield self._plan_line
        yield self._picture
        yield self._notice
        yield self._keys

    def on_mount(self) -> None:
        self.app.theme_changed_signal.subscribe(self, lambda _: self._forget_colours())
        self._fill()
        if self._before is not None:
            self._pick_again(self._before)
        self._scales.focus()
        self._show()

    def on_resize(self, event: events.Resize) -> None:
        self._room = size_for(event.size.width, event.size.height)
        for size in ScreenSize:
            self.set_class(size is self._room, f"-{size.value}")
        self._show()

    def on_option_list_option_highlighted(self) -> None:
        self._show()

    def on_descendant_focus(self) -> None:
        self._show()

    def on_title_panel_clicked(self) -> None:
        self.action_main()

    # What is on offer and what is picked

    def _fill(self) -> None:
        offers = self._offers
        _fill(self._scales, [_lines(offer.address, offer.what) for offer in offers.scales])
        _fill(self._plans, [offer.name for offer in offers.plans])
        _fill(self._recordings, [path.name for path in offers.recordings])
        if offers.notice is not None:
            self._notice_text = offers.notice

    def _pick_again(self, before: Start) -> None:
        addresses = [offer.address for offer in self._offers.scales]
        if before.scale not in addresses:
            self._add_scale(before.scale)
        else:
            self._scales.highlighted = addresses.index(before.scale)
        plans = [offer.plan for offer in self._offers.plans]
        if before.plan in plans:
            self._plans.highlighted = plans.index(before.plan)
        else:
            self._add_plan(PlanOffer("before", before.plan))

    def _add_scale(self, address: str) -> None:
        scales = (ScaleOffer(address, ""), *self._offers.scales)
        self._offers = replace(self._offers, scales=scales)
        _fill(self._scales, [_lines(offer.address, offer.what) for offer in scales])

    def _add_plan(self, offer: PlanOffer) -> None:
        plans = (offer, *self._offers.plans)
        self._offers = replace(self._offers, plans=plans)
        _fill(self._plans, [each.name for each in plans])

    def _start(self, errand: Errand) -> Start:
        offers = self._offers
        recording = self._recordings.highlighted
        return Start(
            errand,
            offers.scales[self._scales.highlighted or 0].address,
            self._plan_offer.plan,
            None if recording is None else offers.recordings[recording],
            self._by,
        )

    @property
    def _plan_offer(self) -> PlanOffer:
        return self._offers.plans[self._plans.highlighted or 0]

    @property
    def _on_recordings(self) -> bool:
        return self.focused is self._recordings and bool(self._offers.recordings)

    # To the screen

    def _show(self) -> None:
        if not self.is_mounted:
            return
        start = self._start(Errand.BREW)
        if self._room is ScreenSize.TINY:
            says = f"Too small: needs {LEAST_WIDTH}x{LEAST_HEIGHT}"
        elif self._on_recordings and start.recording is not None:
            says = f"Enter replays {start.recording.name}"
        else:
            who = "" if self._by is None else f"{self._by}: "
            says = f"{who}Enter brews on {start.scale}"
        self._title.show(says)
        self._plan_line.show("PLAN", self._plan_offer.what)
        self._picture.show(self._plan_offer.plan)
        self.set_class(self._notice_text is not None, "-noticed")
        if self._notice_text is not None:
            self._notice.show("!", self._notice_text, "? Help", loud=True)
        self._keys.show(
            ("enter", "Replay" if self._on_recordings else "Brew"),
            ("tab", "Next list"),
            ("r", "Replay"),
            ("a", "Address"),
            ("p", "Plan file"),
            ("y", "Who brews"),
            ("l", "Look again"),
            ("s", "Strength"),
            ("w", "Water"),
            ("q", "Quit"),
            ("?", "Help"),
        )

    def _forget_colours(self) -> None:
        for widget in self.query(Painted):
            widget.forget()
        self._picture.forget()

    def _tell(self, notice: str | None) -> None:
        self._notice_text = notice
        self._show()

    # Keys

    def action_main(self) -> None:
        self.action_go("replay" if self._on_recordings else "brew")

    def action_go(self, errand: str) -> None:
        start = self._start(Errand(errand))
        if start.errand is Errand.REPLAY and start.recording is None:
            self._tell("There is no recording yet: brew, and one is kept.")
        else:
            self.dismiss(start)

    def action_focus_list(self, way: int) -> None:
        lists = [self._scales, self._plans, self._recordings]
        here = next((at for at, each in enumerate(lists) if each is self.focused), 0)
        lists[(here + way) % len(lists)].focus()

    def action_look(self) -> None:
        """Look again, keeping what is picked where it is still there."""
        picked = self._start(Errand.BREW)
        self._notice_text = None
        self._offers = self._look()
        self._fill()
        self._pick_again(picked)
        self._show()

    def action_address(self) -> None:
        def answered(text: str | None) -> None:
            if text:
                try:
                    self._add_scale(str(ScaleAddress.parse(text)))
                    self._tell(None)
                except PourcoachError as error:
                    self._tell(str(error))

        self.app.push_screen(
            AskScreen("Scale address: serial:PORT, ble:NAME, sim:PROFILE or tape:FILE"), answered
        )

    def action_plan_file(self) -> None:
        def answered(text: str | None) -> None:
            if text:
                try:
                    self._add_plan(plan_offer_from(Path(text).expanduser()))
                    self._tell(None)
                except PourcoachError as error:
                    self._tell(str(error))

        self.app.push_screen(AskScreen("Plan file (TOML)"), answered)

    def action_who(self) -> None:
        def answered(text: str | None) -> None:
            if text is not None:
                self._by = text or None
                self._show()

        question = "Who brews? Empty: nobody by name"
        self.app.push_screen(AskScreen(question, self._by or ""), answered)

    def action_strength(self) -> None:
        self.app.push_screen(StrengthScreen(self._glyphs, dose_g=self._plan_offer.plan.dose_g))

    def action_water(self) -> None:
        self.app.push_screen(WaterScreen(self._glyphs))

    def action_help(self) -> None:
        self.app.push_screen(HelpScreen(_HELP))


def _lines(head: str, what: str) -> str:
    return f"{head}\n  {what}" if what else head


def _fill(options: OptionList, texts: Sequence[str]) -> None:
    options.clear_options()
    options.add_options([Option(text) for text in texts])
    options.highlighted = 0 if texts else None
