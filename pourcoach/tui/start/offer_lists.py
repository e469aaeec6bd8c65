"""Scales, plans and recordings, one list beside the other."""

from collections.abc import Sequence
from dataclasses import replace

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from pourcoach.domain.plan import Plan
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.start.start_offers import PlanOffer, RecordingOffer, ScaleOffer, StartOffers

RECORDINGS = 2
"""Place of their list from the left."""


class OfferList(OptionList):
    """One of the lists. Textual's own fails at a page key while nothing of it is laid out."""

    def action_page_down(self) -> None:
        if self.option_count and self.size:
            super().action_page_down()  # type: ignore[no-untyped-call]

    def action_page_up(self) -> None:
        if self.option_count and self.size:
            super().action_page_up()  # type: ignore[no-untyped-call]


class OfferLists(Horizontal):
    """Each list keeps its pick when another is in focus."""

    DEFAULT_CSS = """
    OfferLists { height: 1fr; min-height: 4; }
    OfferLists Vertical { width: 1fr; height: 100%; }
    OfferLists .heading { height: 1; padding: 0 2; color: $dim; text-style: bold; }
    OfferLists OptionList {
        height: 1fr; border: none; padding: 0; background: $ground; color: $ink;
        scrollbar-size-vertical: 1; text-wrap: nowrap; text-overflow: ellipsis;
    }
    OfferLists OptionList:focus { border: none; background: $ground; }
    OfferLists OptionList > .option-list--option { padding: 0 2; color: $ink; }
    OfferLists OptionList > .option-list--option-highlighted {
        background: $wait-ground; color: $wait-ink; text-style: bold;
    }
    OfferLists OptionList:focus > .option-list--option-highlighted {
        background: $target-ground; color: $target-ink; text-style: bold;
    }
    OfferLists.-one Vertical { display: none; }
    OfferLists.-one Vertical:focus-within { display: block; }
    """

    def __init__(self, offers: StartOffers, glyphs: Glyphs, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._offers = offers
        self._scales = OfferList(id="scales", markup=False)
        self._plans = OfferList(id="plans", markup=False)
        self._recordings = OfferList(id="recordings", markup=False)
        if not glyphs.halves:
            # The ellipsis is no ASCII character.
            for options in self._lists:
                options.styles.text_overflow = "clip"

    def compose(self) -> ComposeResult:
        for heading, options in zip(("SCALE", "PLAN", "RECORDING"), self._lists, strict=True):
            with Vertical():
                yield Static(heading, classes="heading")
                yield options

    def on_mount(self) -> None:
        self.offer(self._offers)

    def offer(self, offers: StartOffers) -> None:
        """Show these, the first of each list picked."""
        self._offers = offers
        _fill(self._scales, [_lines(offer) for offer in offers.scales])
        _fill(self._plans, [offer.name for offer in offers.plans])
        _fill(self._recordings, [offer.title for offer in offers.recordings])

    def pick_scale(self, address: str) -> None:
        """Pick it; one that is not on offer is put on top."""
        addresses = [offer.address for offer in self._offers.scales]
        if address not in addresses:
            addresses = [address, *addresses]
            scales = (ScaleOffer(address, ""), *self._offers.scales)
            self._offers = replace(self._offers, scales=scales)
            _fill(self._scales, [_lines(offer) for offer in scales])
        self._scales.highlighted = addresses.index(address)

    def pick_plan(self, offer: PlanOffer) -> None:
        """Pick the plan; one that is not on offer is put on top under the name of ``offer``."""
        plans = [each.plan for each in self._offers.plans]
        if offer.plan not in plans:
            plans = [offer.plan, *plans]
            offers = (offer, *self._offers.plans)
            self._offers = replace(self._offers, plans=offers)
            _fill(self._plans, [each.name for each in offers])
        self._plans.highlighted = plans.index(offer.plan)

    def pick_recording(self, offer: RecordingOffer) -> None:
        """Pick it; one that is not on offer is put on top."""
        paths = [each.path for each in self._offers.recordings]
        if offer.path not in paths:
            paths = [offer.path, *paths]
            offers = (offer, *self._offers.recordings)
            self._offers = replace(self._offers, recordings=offers)
            _fill(self._recordings, [each.title for each in offers])
        self._recordings.highlighted = paths.index(offer.path)

    def focus_list(self, way: int = 0) -> None:
        """Focus the list ``way`` places on from the one in focus; the scales if none is."""
        self.focus_at((self.focused_at + way) % len(self._lists))

    def focus_at(self, place: int) -> None:
        """Focus the list at that place from the left."""
        self._lists[place].focus()

    @property
    def focused_at(self) -> int:
        """Place of the list in focus; 0 if none is."""
        return next((at for at, each in enumerate(self._lists) if each.has_focus), 0)

    @property
    def scale(self) -> str:
        """Address of the scale picked."""
        return self._offers.scales[self._scales.highlighted or 0].address

    @property
    def plan_offer(self) -> PlanOffer:
        """The plan picked."""
        return self._offers.plans[self._plans.highlighted or 0]

    @property
    def plan(self) -> Plan:
        """The plan picked."""
        return self.plan_offer.plan

    @property
    def recording(self) -> RecordingOffer | None:
        """The recording picked; None where there is none."""
        at = self._recordings.highlighted
        return None if at is None else self._offers.recordings[at]

    @property
    def on_recordings(self) -> bool:
        """Whether the recordings are in focus, and there are any."""
        return self._recordings.has_focus and bool(self._offers.recordings)

    @property
    def _lists(self) -> tuple[OfferList, OfferList, OfferList]:
        return self._scales, self._plans, self._recordings


def _lines(offer: ScaleOffer) -> str:
    return f"{offer.address}\n  {offer.what}" if offer.what else offer.address


def _fill(options: OfferList, texts: Sequence[str]) -> None:
    options.clear_options()
    options.add_options([Option(text) for text in texts])
    options.highlighted = 0 if texts else None
