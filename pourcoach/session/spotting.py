"""A sitting of spotting faults: recordings play with their words hidden, and presses are kept."""

import os
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from pourcoach.domain.advice import Risk, RiskLevel, Word, usual_cue
from pourcoach.domain.documents import DocumentError, from_json
from pourcoach.domain.errors import PourcoachError, WorkError, reason
from pourcoach.domain.frame import Frame
from pourcoach.domain.printable import json_text
from pourcoach.domain.units import Seconds
from pourcoach.library.practised import practice_logs
from pourcoach.places import OWNER_ONLY_FILE, data_folder, private_folder
from pourcoach.practice.spotting.trial import SpotKind, SpotThreshold, Trial, TrialPress
from pourcoach.session.replay import ReplaySession
from pourcoach.session.spot_recordings import Watchable, kept_recording, simulated_recording

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
        _keep(self.by, at, trial)
        return trial


def spots_path() -> Path:
    """Every trial of everybody, a line each."""
    return practice_logs()[0]


def spot_trials(by: str | None) -> list[Trial]:
    """What one person has watched so far, oldest first; lines that are broken are passed over."""
    found: list[Trial] = []
    try:
        lines = spots_path().read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return []
    for line in lines:
        with suppress(DocumentError, PourcoachError, ValueError, TypeError, KeyError):
            data = from_json(line)
            if str(data.get("by") or "").casefold() == (by or "").casefold():
                found.append(Trial.from_dict(data))
    return found


def _keep(by: str | None, at: datetime, trial: Trial) -> None:
    line = json_text({"by": by, "at": at.isoformat(timespec="seconds")} | trial.as_dict()) + "\n"
    try:
        private_folder(data_folder())
        flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND
        with os.fdopen(os.open(spots_path(), flags, OWNER_ONLY_FILE), "a") as lines:
            lines.write(line)
    except OSError as error:
        raise WorkError(
            f"cannot keep what was spotted in {spots_path()}: {reason(error)}"
        ) from None
