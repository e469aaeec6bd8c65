"""Spotting faults as lines of text: the weight once a second, and a command when it is wrong."""

import asyncio
from collections.abc import Callable
from datetime import datetime

from pourcoach.cli.console.plain_keys import say_aside, taking_input
from pourcoach.cli.console.stop_signals import on_stop_signals
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.frame import Frame
from pourcoach.practice.spotting.trial import KINDS, score
from pourcoach.session.practice.spotting import SpotCourse, SpotSession
from pourcoach.wording import spotting as words

NUMBERS = ", ".join(f"{number} {kind.value}" for number, kind in enumerate(KINDS, 1))
COMMANDS = f"s (something is wrong), then a number ({NUMBERS}, 0 cannot say), q (stop)"
KEYS_LINE = f"Keys: Space the moment something is wrong, then {NUMBERS}, 0 cannot say; q stop."


class PlainSpotting:
    """Runs a sitting; commands and keys go to the recording that plays."""

    def __init__(
        self, course: SpotCourse, say: Callable[[str], None], now: Callable[[], datetime]
    ) -> None:
        self._course = course
        self._say = say
        self._now = now
        self._session: SpotSession | None = None
        self._left = asyncio.Event()
        self._shown_s = -1

    async def run(self) -> None:
        """Until the sitting is over or left."""
        while (session := self._course.next()) is not None:
            self._session, self._shown_s = session, -1
            self._say(f"\nRecording {len(self._course.made) + 1}: {session.recording.title}")
            await session.run(self._hear)
            if self._left.is_set():
                return
            session.name(None)
            self._say(words.trial_sentence(self._course.take(session, self._now())))

    def take(self, text: str) -> None:
        """What was typed: single keys, or lines of them."""
        for key in text:
            if key.lower() in ("s", " "):
                self._press()
            elif key.isdecimal() and int(key) <= len(KINDS):
                self._name(int(key))
            elif key.lower() == "q":
                self.leave()
            elif not key.isspace():
                say_aside(f"pourcoach: {key!r} is no command; there are {COMMANDS}")

    def leave(self) -> None:
        """Stop the recording and the sitting."""
        self._left.set()
        if self._session is not None:
            self._session.stop()

    def _press(self) -> None:
        if self._session is not None:
            self._session.press()
            self._say(f"What is it? {NUMBERS}, 0 cannot say.")

    def _name(self, number: int) -> None:
        if self._session is not None and self._session.naming:
            self._session.name(KINDS[number - 1] if number else None)

    def _hear(self, frame: Frame) -> None:
        brew_s = frame.pour.brew_s
        if brew_s is None or int(brew_s) <= self._shown_s:
            return
        self._shown_s = int(brew_s)
        target_g = frame.pour.target_g
        beside = "" if target_g is None else f"  target {target_g:.0f} g"
        self._say(f"{clock(brew_s)} {frame.weight_g:5.0f} g{beside}")


def run_plain_spotting(course: SpotCourse, now: Callable[[], datetime], *, simulated: bool) -> None:
    """The sitting on standard output. Raises WorkError where it cannot be kept."""

    def say(line: str) -> None:
        print(line, flush=True)

    say(words.TRUTH_IS_KNOWN if simulated else words.TRUTH_IS_FOUND)
    asyncio.run(_run(PlainSpotting(course, say, now)))
    say("")
    for line in score_lines(course, simulated=simulated):
        say(line)


def score_lines(course: SpotCourse, *, simulated: bool) -> list[str]:
    """Of this sitting; the threshold from all that was ever watched."""
    if not course.made:
        return ["Nothing was watched to its end."]
    threshold = course.threshold.threshold() if simulated else None
    return words.score_sentences(score(course.made), threshold)


async def _run(spotting: PlainSpotting) -> None:
    on_stop_signals(spotting.leave)
    with taking_input(spotting, spotting, KEYS_LINE):
        await spotting.run()
