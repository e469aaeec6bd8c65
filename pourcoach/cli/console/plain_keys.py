"""What the brewer does where a brew is lines of text: single keys at a terminal, else one command
a line."""

import asyncio
import codecs
import os
import re
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Protocol

from pourcoach.cli.console.terminal import PrintableStream
from pourcoach.cli.console.typed_lines import CommandLines, TypedLine
from pourcoach.cli.console.windows_keys import read_key, windows_console
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.session.protocols import BrewControls, Session, SoundControls, Tilted

THREAD_NAME = "brewer's keys"
KEYS_LINE = (
    "Keys: t tare, Space or Enter begin and finish, m mark, n note, u undo, q stop and save."
)
SOUND_KEYS = " s mutes the sound, v makes it louder."
COMMANDS = "t (tare), go (begin and finish), m (mark), n TEXT (note), u (undo), q (stop and save)"
# A stray q must not end a brew: it is pressed again within this. Common practice.
QUIT_AGAIN_S = 3.0
ESCAPE = "\x1b"
# Control sequences (ECMA-48, 5.4), those of keypads, and one key held with Alt.
_NO_CHARACTER = re.compile(r"\x1b\[[0-?]*[ -/]*[@-~]|\x1bO[@-~]|^\x1b.$")


class BrewedByHand(Session, BrewControls, Protocol):
    """A live brew."""


class LineCommands:
    """One command a line, as a script or another program sends them."""

    def __init__(
        self, brew: BrewedByHand, say: Callable[[str], None], sound: SoundControls | None = None
    ) -> None:
        self._brew = brew
        self._say = say
        self._sound = sound
        self._lines = CommandLines()

    def take(self, text: str) -> None:
        """The next characters of the stream."""
        for line in self._lines.take(text):
            self._do(line)

    def _do(self, line: str) -> None:
        command, _, text = line.partition(" ")
        match command.lower(), text.strip():
            case "t", "":
                self._brew.tare()
            case "go", "":
                self._brew.main()
                if self._brew.finish_asked:
                    self._say("water is still to come: send go again within a second to finish")
            case "m", "":
                self._brew.mark()
            case "n", text if text:
                self._brew.note(text)
            case "u", "":
                self._brew.undo()
            case "q", "":
                self._brew.stop()
            case ("s" | "v") as key, "" if self._sound is not None:
                self._say(sound_key(key, self._sound))
            case _ if take_kettle_command(self._brew, command, text.strip(), self._say):
                pass
            case _:
                self._say(f"{line!r:.60} is no command; there are {COMMANDS}")


def sound_key(key: str, sound: SoundControls) -> str:
    """Do what ``s`` (mute, or not) or ``v`` (louder) asks for; says what it did."""
    if key == "s":
        sound.mute()
    else:
        sound.louder()
    return "sound muted" if sound.muted else f"sound at {sound.volume:.0%}"


def take_kettle_command(
    session: object, command: str, text: str, say: Callable[[str], None]
) -> bool:
    """``tilt SHARE`` (0 upright to 1) and ``refill``, where a simulated kettle is poured from;
    whether it was one of them."""
    kettle = session.kettle if isinstance(session, Tilted) else None
    if kettle is None:
        return False
    if command == "refill" and not text:
        kettle.refill()
        return True
    if command != "tilt":
        return False
    try:
        kettle.tilt_to(read_number(text))
    except UsageError as error:
        say(str(error))
    return True


class Keys:
    """Single keys, as a person presses them; a note is typed after ``n``, up to Enter."""

    def __init__(
        self,
        brew: BrewedByHand,
        say: Callable[[str], None],
        echo: Callable[[str], None],
        now: Callable[[], float],
        sound: SoundControls | None = None,
    ) -> None:
        """``echo`` shows what is typed into a note; ``now`` is any clock in seconds."""
        self._sound = sound
        self._brew = brew
        self._say = say
        self._echo = echo
        self._now = now
        self._note: TypedLine | None = None
        self._quit_s = -QUIT_AGAIN_S

    def take(self, text: str) -> None:
        """The keys of one press, or of a few at once."""
        for key in text:
            if self._note is None:
                self._do(key)
            else:
                self._type(key, self._note)

    def _do(self, key: str) -> None:
        match key.lower():
            case "t":
                self._brew.tare()
            case " " | "\r" | "\n":
                self._brew.main()
                if self._brew.finish_asked:
                    self._say("Water is still to come: press Space again at once to finish.")
            case "m":
                self._brew.mark()
            case "n":
                self._note = TypedLine(self._echo)
                self._echo("Note: ")
            case "u":
                self._brew.undo()
            case "q":
                self._quit()
            case ("s" | "v") as pressed if self._sound is not None:
                self._say(sound_key(pressed, self._sound).capitalize() + ".")
            case "?" | "h":
                self._say(KEYS_LINE)

    def _quit(self) -> None:
        if self._now() - self._quit_s < QUIT_AGAIN_S:
            self._brew.stop()
            return
        self._quit_s = self._now()
        self._say("Press q again to stop; what was recorded is kept.")

    def _type(self, key: str, note: TypedLine) -> None:
        if key == ESCAPE:
            self._note = None
            self._echo("\nNo note.\n")
        elif (typed := note.take(key)) is not None:
            self._note = None
            if typed.strip():
                self._brew.note(typed.strip())


class Taker(Protocol):
    """What is given the characters that come in."""

    def take(self, text: str) -> None:
        """The next ones."""
        ...


@contextmanager
def taking_keys(brew: BrewedByHand, sound: SoundControls | None = None) -> Iterator[None]:
    """Standard input steers the brew and its sound while the context lasts: a person's keys where
    it is a terminal, else commands. Where there is none, nobody steers.
    """
    commands = LineCommands(brew, lambda text: say_aside(f"pourcoach: {text}"), sound)
    keys = Keys(brew, say_aside, echo, asyncio.get_running_loop().time, sound)
    with taking_input(commands, keys, KEYS_LINE + (SOUND_KEYS if sound is not None else "")):
        yield


@contextmanager
def taking_input(
    commands: Taker, keys: Taker, keys_line: str, at_end: Callable[[], None] = lambda: None
) -> Iterator[None]:
    """Give ``keys`` what a person types at a terminal, else ``commands`` what comes on standard
    input, while the context lasts. ``at_end`` is called where nothing more will come.
    """
    descriptor = _descriptor()
    if descriptor is None:
        at_end()
        yield
    elif not os.isatty(descriptor):
        _start_reading(lambda: os.read(descriptor, 4096), commands.take, at_end)
        yield
    else:
        with _key_reader(descriptor) as read:
            if read is not None:
                say_aside(keys_line)
                _start_reading(read, lambda text: keys.take(_characters(text)), at_end)
            yield


def _characters(text: str) -> str:
    """What was sent by keys with a character; an arrow or a function key has none."""
    return _NO_CHARACTER.sub("", text)


def _descriptor() -> int | None:
    # Closed, or put in its place by a program that has no input to give.
    with suppress(AttributeError, OSError, ValueError):
        return sys.stdin.fileno()
    return None


@contextmanager
def _key_reader(descriptor: int) -> Iterator[Callable[[], bytes] | None]:
    """A way to read single keys, unseen, without waiting for Enter; None where the terminal is
    another program's just now, as for one started with ``&``."""
    if sys.platform == "win32":
        console = windows_console()
        yield lambda: read_key(console)
        return
    import termios
    import tty

    if os.tcgetpgrp(descriptor) != os.getpgrp():
        yield None
        return
    before = termios.tcgetattr(descriptor)
    tty.setcbreak(descriptor)
    try:
        yield lambda: os.read(descriptor, 1024)
    finally:
        termios.tcsetattr(descriptor, termios.TCSADRAIN, before)


def _start_reading(
    read: Callable[[], bytes], take: Callable[[str], None], at_end: Callable[[], None]
) -> None:
    """In a thread that dies with the program: a read cannot be called off."""
    loop = asyncio.get_running_loop()
    decoder = codecs.getincrementaldecoder("utf-8")("replace")

    def reading() -> None:
        # The loop is closed once the brew is over; a terminal that goes away is the end, too.
        with suppress(RuntimeError, OSError):
            while data := read():
                loop.call_soon_threadsafe(take, decoder.decode(data))
        with suppress(RuntimeError):
            loop.call_soon_threadsafe(at_end)

    threading.Thread(target=reading, name=THREAD_NAME, daemon=True).start()


def say_aside(text: str) -> None:
    """A line to the person at the keys, apart from what the command prints."""
    print(text, file=sys.stderr, flush=True)


def echo(text: str) -> None:
    """What is typed, as it is typed: printable characters, and backspaces that rub them out."""
    print(text, end="", file=PrintableStream.inside(sys.stderr), flush=True)
