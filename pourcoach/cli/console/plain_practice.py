"""Practice as lines of text: for pipes and screen readers, by the same rules as on a screen."""

import asyncio
import re
from collections import deque
from collections.abc import Callable
from datetime import datetime

from pourcoach.cli.console.plain_keys import (
    SOUND_KEYS,
    echo,
    say_aside,
    sound_key,
    take_kettle_command,
    taking_input,
)
from pourcoach.cli.console.plain_voice import PlainVoice
from pourcoach.cli.console.stop_signals import on_stop_signals
from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.console.typed_lines import CommandLines, TypedLine
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import NUMBER, read_number
from pourcoach.practice.block.attempt import Glance, Step
from pourcoach.scales.worked_out.kettle import CAN_AND_CANNOT
from pourcoach.session.practice.course import PracticeCourse
from pourcoach.session.practice.drill_brew import PracticeSession
from pourcoach.session.protocols import SoundControls
from pourcoach.wording import practice as words

COMMANDS = (
    "t (tare), go (begin, or say that you are done), e NUMBER (your estimate), q (stop); with a "
    "simulated kettle tilt 0.6 and refill"
)
KEYS_LINE = (
    "Keys: t tare, Space begin or done; type your estimate and Enter when asked; q stop and save."
)


class PlainPractice:
    """Runs a sitting; commands and keys go to the pour under way."""

    def __init__(self, course: PracticeCourse, say: Callable[[str], None]) -> None:
        self._course = course
        self._say = say
        self._session: PracticeSession | None = None
        self._estimates: deque[float] = deque()
        """Sent before they were asked for: a script need not wait."""
        self._input_ended = False
        self._left = False
        self._step: Step | None = None
        self._voice = PlainVoice(say)
        self._full = False
        self._noticed: str | None = None
        self.trouble = False
        """Whether anything was not kept."""

    @property
    def session(self) -> PracticeSession | None:
        """The pour under way; None before the first."""
        return self._session

    @property
    def asking(self) -> bool:
        """Whether an estimate is waited for."""
        return self._session is not None and self._session.step is Step.ASKING

    async def run(self) -> None:
        """Until the sitting is over or left."""
        course = self._course
        while not self._left and (session := course.next()) is not None:
            self._session = session
            self._step, self._voice, self._full = None, PlainVoice(self._say), False
            assignment = session.attempt.assignment
            self._say("")
            self._say(f"{words.place_words(assignment.place)}.")
            self._say(f"TASK    {assignment.task}")
            await session.run(self._hear)
            made = course.take(session)
            if session.brew.trouble is not None:
                say_error(session.brew.trouble)
                self.trouble = True
            if session.newest is not None and session.recording is not None:
                self._say(f"The recording is {session.recording}")
            if made is not None:
                lead = assignment.judged[0].measure
                sentence = words.summary_sentence(made, lead, assignment.asks.measure)
                self._say(f"SUMMARY {sentence}")
            if session.attempt.result is None or session.step not in (Step.SHOWN, Step.OVER):
                break

    def estimate(self, value: float) -> None:
        """Take it now, or when it is asked for."""
        self._estimates.append(value)
        self._give_estimate()

    def tare(self) -> None:
        if self._session is not None:
            self._session.tare()

    def main(self) -> None:
        if self._session is not None:
            self._session.main()

    def leave(self) -> None:
        """Stop the pour and the sitting."""
        self._left = True
        if self._session is not None:
            self._session.stop()

    def end_input(self) -> None:
        """No command will come any more."""
        self._input_ended = True
        self._give_estimate()

    def _give_estimate(self) -> None:
        session = self._session
        if session is None or not self.asking:
            return
        if self._estimates:
            session.estimate(self._estimates.popleft())
        elif self._input_ended:
            self._say("No estimate came, so there is no result.")
            self.leave()

    def _hear(self, glance: Glance) -> None:
        session = self._session
        assert session is not None
        if session.notice != self._noticed:
            self._noticed = session.notice
            if self._noticed is not None:
                say_error(self._noticed)
        if glance.frame is not None:
            self._voice.hear(glance.frame)
        if glance.server_full and not self._full:
            self._full = True
            self._line(glance, "STOP", words.SERVER_FULL)
        if glance.step is not self._step:
            self._step = glance.step
            self._step_line(glance, session)

    def _step_line(self, glance: Glance, session: PracticeSession) -> None:
        assignment = session.attempt.assignment
        match glance.step:
            case Step.POURING if glance.frame is None:
                self._line(glance, "POUR", "Water is running; go on as you mean to.")
            case Step.ASKING:
                asked = words.asked_sentence(assignment.asks, len(session.attempt.plan.stages))
                self._line(glance, "ASK", asked)
                self._give_estimate()
            case Step.SHOWN if glance.result is not None:
                self._line(glance, "RESULT", words.result_sentence(glance.result))
                session.stop()
            case Step.OVER:
                nothing = session.attempt.result is None
                said = "Nothing was poured." if nothing else "Kept. No result in this pour."
                self._line(glance, "OVER", said)
                session.stop()

    def _line(self, glance: Glance, word: str, sentence: str) -> None:
        time = "" if glance.time_s is None else clock(glance.time_s)
        self._say(f"{time:<12} {word:<7} {sentence}")


class PracticeCommands:
    """One command a line."""

    def __init__(
        self,
        practice: PlainPractice,
        say: Callable[[str], None],
        sound: SoundControls | None = None,
    ) -> None:
        self._sound = sound
        self._practice = practice
        self._say = say
        self._lines = CommandLines()

    def take(self, text: str) -> None:
        """The next characters of the stream."""
        for line in self._lines.take(text):
            self._do(line)

    def _do(self, line: str) -> None:
        command, _, rest = line.partition(" ")
        match command.lower(), rest.strip():
            case "t", "":
                self._practice.tare()
            case "go", "":
                self._practice.main()
            case "q", "":
                self._practice.leave()
            case ("s" | "v") as key, "" if self._sound is not None:
                self._say(sound_key(key, self._sound))
            case "e", number if number:
                self._estimate(number)
            case _ if take_kettle_command(self._practice.session, command, rest.strip(), self._say):
                pass
            case _ if re.fullmatch(NUMBER, line):
                self._estimate(line)
            case _:
                self._say(f"{line!r:.60} is no command; there are {COMMANDS}")

    def _estimate(self, number: str) -> None:
        try:
            self._practice.estimate(read_number(number))
        except UsageError as error:
            self._say(str(error))


class PracticeKeys:
    """Single keys; when an estimate is asked for, its digits up to Enter."""

    def __init__(
        self,
        practice: PlainPractice,
        say: Callable[[str], None],
        echo: Callable[[str], None],
        sound: SoundControls | None = None,
    ) -> None:
        """``echo`` shows what is typed into an estimate."""
        self._sound = sound
        self._practice = practice
        self._say = say
        self._estimate = TypedLine(echo)

    def take(self, text: str) -> None:
        """The keys of one press, or of a few at once."""
        for key in text:
            if self._practice.asking and key.lower() != "q":
                self._type(key)
            else:
                self._do(key)

    def _do(self, key: str) -> None:
        match key.lower():
            case "t":
                self._practice.tare()
            case " " | "\r" | "\n":
                self._practice.main()
            case "q":
                self._practice.leave()
            case ("s" | "v") as pressed if self._sound is not None:
                self._say(sound_key(pressed, self._sound).capitalize() + ".")
            case "?" | "h":
                self._say(KEYS_LINE)

    def _type(self, key: str) -> None:
        if (typed := self._estimate.take(key)) is None:
            return
        try:
            self._practice.estimate(read_number(typed))
        except UsageError as error:
            self._say(str(error))


def run_plain_practice(
    course: PracticeCourse, now: Callable[[], datetime], sound: SoundControls | None = None
) -> bool:
    """Run the sitting on standard output; whether all of it was kept."""

    def say(line: str) -> None:
        print(line, flush=True)

    drill = course.drill
    say(
        f"{drill.title}, with the bands of level {course.level.value};"
        f" the schedule's seed is {course.seed}."
    )
    if course.by_kettle:
        say(f"KETTLE  {CAN_AND_CANNOT}")
        say("        tilt 0.7 tilts it (0 upright to 1), refill fills it.")
    else:
        say(f"NEEDED  {drill.needs}.")
        say(f"        {words.WATER_CAUTION}")
    practice = PlainPractice(course, say)
    asyncio.run(_run(practice, sound))
    say("")
    due = course.next_test
    if due is not None:
        say(words.due_sentence(due, now()))
    return not practice.trouble


async def _run(practice: PlainPractice, sound: SoundControls | None) -> None:
    on_stop_signals(practice.leave)
    commands = PracticeCommands(practice, lambda text: say_aside(f"pourcoach: {text}"), sound)
    keys = PracticeKeys(practice, say_aside, echo, sound)
    keys_line = KEYS_LINE + (SOUND_KEYS if sound is not None else "")
    with taking_input(commands, keys, keys_line, practice.end_input):
        await practice.run()
