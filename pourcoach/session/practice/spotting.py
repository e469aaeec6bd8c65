"""A sitting of spotting faults: recordings play with their words hidden, and presses are kept."""

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from pourcoach.domain.advice import Risk, RiskLevel, Word, usual_cue
from pourcoach.domain.frame import Frame
from pourcoach.domain.units import Seconds
from pourcoach.library.practice_log import log_practice, practice_of, spotting_log
from pourcoach.practice.spotting.trial import SpotKind, SpotThreshold, Trial, TrialPress
from pourcoach.session.practice.spot_recordings import (
    Watchable,
    kept_recording,
    simulated_recording,
)
from pourcoach.session.replay.replay import ReplaySession

_NO_RISK = Risk(RiskLevel.LOW, ())


def without_words(frame: Frame) -> Frame:
    """A Frame in which nothing is judged: weight, flow and curve alone."""
    cue = usual_cue(Word.READY, since_s=frame.cue.since_s)
    return frame._replace(flags=(), risk=_NO_RISK, cue=cue, moments=(), key_press=None)


class SpotSession:
    """One recording. A press stops it until it was named."""

    def __init__(self, recording: Watchable, speed: float) -> None:
        self.recording = recording
        self.replay = ReplaySession(recording.tape, speed)
        self._speed = speed
        self._presses: list[TrialPress] = []
        self._pressed_s: Seconds | None = None

    @property
    def naming(self) -> bool:
        """Whether a press waits for its name."""
        return self._pressed_s is not None

    @property
    def trial(self) -> Trial:
        """As watched so far."""
        recording = self.recording
        return Trial(
            recording.windows,
            tuple(self._presses),
            recording.level_db,
            recording.simulated,
            self._speed,
        )

    def press(self) -> None:
        """Something is wrong, now."""
        if self._pressed_s is None:
            self._pressed_s = self.replay.position_s
            self.replay.pause()

    def name(self, kind: SpotKind | None) -> None:
        """What it was; None: cannot say. The recording goes on."""
        if self._pressed_s is not None:
            self._presses.append(TrialPress(round(self._pressed_s, 4), kind))
            self._pressed_s = None
            self.replay.pause()

    async def run(self, on_frame: Callable[[Frame], None]) -> Frame | None:
        """To the end of the recording; the last Frame, with all that was found in it."""
        return await self.replay.run(lambda frame: on_frame(without_words(frame)))

    def stop(self) -> None:
        """Leave it."""
        self.replay.stop()


class SpotCourse:
    """Gives one recording after another; ``take`` keeps what was made of it."""

    def __init__(
        self,
        *,
        by: str | None,
        seed: int,
        trials: int,
        speed: float,
        recordings: Sequence[Path] = (),
    ) -> None:
        """Simulated recordings where none are named."""
        self.by = by
        self.kept = spot_trials(by)
        self.made: list[Trial] = []
        self.threshold = SpotThreshold(self.kept)
        self._recordings = recordings
        self._left = len(recordings) or trials
        # Each sitting shows others, whatever the seed.
        self._seed = seed * 100_003 + len(self.kept)
        self._speed = speed

    def next(self) -> SpotSession | None:
        """The next recording; None when the sitting is over. Raises WorkError."""
        if self._left <= 0:
            return None
        number = len(self.made)
        if self._recordings:
            recording = kept_recording(self._recordings[number])
        else:
            level_db = self.threshold.next_level_db
            recording = simulated_recording(self._seed + number, level_db)
        return SpotSession(recording, self._speed)

    def take(self, session: SpotSession, at: datetime) -> Trial:
        """Keep a recording that was watched to its end. Raises WorkError where that fails."""
        trial = session.trial
        self._left -= 1
        self.made.append(trial)
        self.threshold.take(trial)
        log_practice(spotting_log(), self.by, at, trial.as_dict())
        return trial


def spot_trials(by: str | None) -> list[Trial]:
    """What one person has watched so far, oldest first; lines that are broken are passed over."""
    return practice_of(spotting_log(), by, Trial.from_dict)
