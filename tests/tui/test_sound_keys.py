"""The keys of the sound: there where there is some, and only there."""

from dataclasses import dataclass

from pourcoach.domain.advice import Word
from pourcoach.domain.pour import Phase
from pourcoach.tui.app import PourcoachApp
from pourcoach.tui.renderables.glyphs import FULL
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.session_view import SessionView
from tests.reports.made_brew import USUAL_RUBRIC
from tests.tui.conftest import text_of
from tests.tui.fake_sessions import FakeBrew
from tests.tui.made_frames import make_frame
from tests.tui.settled import settled


@dataclass
class FakeSound:
    muted: bool = False
    volume: float = 0.4

    def mute(self) -> None:
        self.muted = not self.muted

    def louder(self) -> None:
        self.volume = 0.6


def app_with(sound: FakeSound | None) -> tuple[PourcoachApp, FakeBrew]:
    brew = FakeBrew()

    async def story(app: PourcoachApp) -> None:
        await app.show(SessionView(brew))

    app = PourcoachApp(story, USUAL_RUBRIC, FULL, DARK)
    app.sound = sound
    return app, brew


async def test_keys_mute_it_and_make_it_louder_and_say_so() -> None:
    sound = FakeSound()
    app, brew = app_with(sound)
    async with app.run_test(size=(100, 30)) as pilot:
        brew.feed(make_frame(20.0, Word.POUR, 97.0, phase=Phase.POURING))
        await settled(pilot)
        assert "s Mute  v Louder (40%)" in text_of(app)
        await pilot.press("v", "s")
        assert (sound.volume, sound.muted) == (0.6, True)
        brew.feed(make_frame(21.0, Word.STOP, 98.0, phase=Phase.POURING))
        await settled(pilot)
        assert "s Unmute" in text_of(app)
        await pilot.press("s")
        assert not sound.muted


async def test_without_sound_there_are_no_such_keys() -> None:
    app, brew = app_with(None)
    async with app.run_test(size=(100, 30)) as pilot:
        brew.feed(make_frame(20.0, Word.POUR, 97.0, phase=Phase.POURING))
        await pilot.press("s", "v")
        await pilot.pause()
        assert "Mute" not in text_of(app)
