"""A start screen with two of everything, in an app that is only that."""

from pathlib import Path
from typing import Any

from textual.app import App

from pourcoach.domain.errors import WorkError
from pourcoach.domain.plan import Plan, Stage
from pourcoach.session.glance import RecordingGlance
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.start.picked import StartChoice
from pourcoach.tui.start.start_offers import PlanOffer, RecordingOffer, ScaleOffer, StartOffers
from pourcoach.tui.start.start_screen import StartScreen
from pourcoach.tui.themes import use_palette, variables
from tests.tui.made_frames import PLAN

LARGE = Plan(
    dose_g=32.0,
    ratio=16.0,
    water_g=512.0,
    bloom_s=45.0,
    finish_s=260.0,
    stages=(Stage("bloom", 0.0, 64.0, 6.0), Stage("pour 1", 45.0, 512.0, 6.0)),
)
OFFERS = StartOffers(
    scales=(ScaleOffer("serial:/dev/ttyUSB0", "USB serial"), ScaleOffer("sim:steady", "")),
    plans=(PlanOffer("usual", PLAN), PlanOffer("large", LARGE)),
    recordings=(
        RecordingOffer(
            Path("monday.jsonl"), "2026-01-12 09:30 Ada", "", "Ada", "2026-01-12T09:30:00+00:00"
        ),
        RecordingOffer(Path("tuesday.jsonl"), "A gush", "In the last pour the flow jumps."),
    ),
)
NOTHING = StartOffers(OFFERS.scales, OFFERS.plans, ())


class StartApp(App[Any]):
    """As little as a start screen needs."""

    def __init__(self, offers: StartOffers = OFFERS, glyphs: Glyphs = FULL, **more: Any) -> None:
        super().__init__()
        self.offers = offers
        self.read: list[Path] = []
        self.start_screen = StartScreen(
            offers, glyphs, look=lambda: self.offers, read=self._read, **more
        )
        self.start: StartChoice | None = None

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return variables(DARK)

    def on_mount(self) -> None:
        use_palette(self, DARK)
        self.push_screen(self.start_screen, self._left)

    def _read(self, path: Path) -> RecordingGlance:
        self.read.append(path)
        if path.name == "broken.jsonl":
            raise WorkError("broken.jsonl is no recording")
        points = tuple((t_s / 2, 0.9 * PLAN.target_g(t_s / 2)) for t_s in range(300))
        return RecordingGlance(
            PLAN, points, "288 g of 320 g of water, 1:14.4 on 20 g; 3:07.", "POUR IT ALL"
        )

    def _left(self, start: StartChoice | None) -> None:
        self.start = start


async def answer(*keys: str, app: StartApp | None = None) -> StartChoice | None:
    app = app or StartApp()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press(*keys)
        await pilot.pause()
    return app.start
