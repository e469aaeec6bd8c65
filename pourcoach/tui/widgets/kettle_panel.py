"""The simulated kettle: tilted by dragging over it, or by keys."""

from dataclasses import dataclass

from textual import events

from pourcoach.simulation.kettle import CAPACITY_G, Kettle
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.widgets.painted import Painted

# From upright to as far as it goes, in cells: to the right, or half as many down. A fine pour
# then lies about in the middle of the panel.
TRAVEL = 40
KEY_STEP = 0.04
"""Share of the whole tilt that a press of a cursor key changes."""
STREAMS = ("no water", "drops", "thin stream", "stream", "full stream")
"""As the eye sees them: how much it is, the eye cannot."""
LEVELS = ("empty", "low", "half full", "nearly full", "full")


@dataclass(frozen=True, slots=True)
class KettleLook:
    """What is seen of a kettle."""

    tilt: int
    """In cells of TRAVEL."""
    stream: str
    level: str
    away: bool


def look_of(kettle: Kettle) -> KettleLook:
    """Rounded as an eye does it: the kettle must not be a scale."""
    share = kettle.flow_gps / kettle.most_gps
    stream = 0 if kettle.flow_gps < 0.05 else min(1 + int(4 * share), len(STREAMS) - 1)
    level = min(round(4 * kettle.water_g / (0.6 * CAPACITY_G)), len(LEVELS) - 1)
    return KettleLook(round(TRAVEL * kettle.tilt), STREAMS[stream], LEVELS[level], kettle.away)


class KettlePanel(Painted):
    """Press and drag to tilt; letting go stops the stream. Hidden where there is no kettle."""

    ALLOW_SELECT = False

    def __init__(self, glyphs: Glyphs, kettle: Kettle | None, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(glyphs, id=id)
        self._kettle = kettle
        if kettle is None:
            self.display = False
        self._look = KettleLook(0, STREAMS[0], LEVELS[-1], away=False)
        self._held: tuple[int, int] | None = None
        self._meant = 0.0

    def look(self) -> None:
        """See how the kettle stands now."""
        if self._kettle is not None:
            self._look = look_of(self._kettle)
            self.repaint()

    def tip(self, steps: int) -> None:
        """By so many presses of a key; upwards it is tilted further."""
        self._tilt(self._meant + KEY_STEP * steps)

    def let_go(self) -> None:
        """Upright again."""
        self._held = None
        self._tilt(0.0)

    def refill(self) -> None:
        """Fill it, which sets it down as well."""
        if self._kettle is not None:
            self.let_go()
            self._kettle.refill()

    def _tilt(self, share: float) -> None:
        self._meant = min(max(share, 0.0), 1.0)
        if self._kettle is not None:
            self._kettle.tilt_to(self._meant)

    def on_mouse_down(self, event: events.MouseDown) -> None:
        event.stop()
        self._held = (event.screen_x, event.screen_y)
        self.capture_mouse()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        if self._held is None:
            return
        event.stop()
        across, down = event.screen_x - self._held[0], event.screen_y - self._held[1]
        self._tilt((across + 2 * down) / TRAVEL)

    def on_mouse_up(self, event: events.MouseUp) -> None:
        event.stop()
        self.release_mouse()
        self.let_go()

    def on_click(self, event: events.Click) -> None:
        """A click pours nothing and begins nothing."""
        event.stop()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        plain, bold = palette.wait.style(), palette.wait.style(bold=True)
        cells = Cells(width, height, plain)
        look, glyphs = self._look, self.glyphs
        at = cells.put(2, 0, "KETTLE  ", bold)
        at = cells.put(at, 0, glyphs.solid * look.tilt, bold)
        cells.put(at, 0, glyphs.track * (TRAVEL - look.tilt), plain)
        state = "being filled" if look.away else look.level
        cells.put(4 + len("KETTLE  ") + TRAVEL, 0, f"{look.stream:<12} {state}", bold)
        cells.put(
            2, 1, "Press here and drag to the right or down: it tilts; release: it stops.", plain
        )
        cells.put(
            2, 2, f"Or {glyphs.up_down} to tilt and tilt back, 0 to stop, f to refill.", plain
        )
        return cells
