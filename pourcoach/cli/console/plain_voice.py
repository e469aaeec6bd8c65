"""A brew as lines of text: for pipes, logs and screen readers."""

import asyncio
from collections.abc import Callable
from contextlib import nullcontext
from typing import cast

from pourcoach import wording
from pourcoach.cli.console.plain_keys import BrewedByHand, taking_keys
from pourcoach.cli.console.stop_signals import on_stop_signals
from pourcoach.cli.console.terminal import say_error
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.advice import Cue, FlagKind
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.frame import Frame
from pourcoach.domain.key_press import KeyPress
from pourcoach.reports.brew.plain_review import review_lines
from pourcoach.session.protocols import BrewControls, Session, SoundControls
from pourcoach.wording.keys import key_sentence


class PlainVoice:
    """Says each cue when it changes, each kind of flag once a stage, and what each key did."""

    def __init__(self, say: Callable[[str], None]) -> None:
        self._say = say
        self._cue: Cue | None = None
        self._said: set[tuple[FlagKind, str | None]] = set()
        self._press: KeyPress | None = None

    def hear(self, frame: Frame) -> None:
        """Take the next Frame; says nothing unless something changed."""
        if frame.key_press is not None and frame.key_press != self._press:
            self._line(frame, "KEY", key_sentence(frame.key_press, frame.pour.brew_start_s))
        self._press = frame.key_press
        before, cue = self._cue, frame.cue
        self._cue = cue
        if before is None or (cue.word, cue.since_s) != (before.word, before.since_s):
            self._line(frame, cue.word.value, wording.cue_sentence(frame))
        for flag in frame.flags:
            if (flag.kind, flag.stage) not in self._said:
                self._said.add((flag.kind, flag.stage))
                self._line(frame, "NOTED", wording.flag_sentence(flag))

    def _line(self, frame: Frame, word: str, sentence: str) -> None:
        brew_s = frame.pour.brew_s or 0.0
        grams = f"{frame.weight_g:.0f} g"
        self._say(f"{clock(brew_s)} {grams:>6}  {word:<7} {sentence}".rstrip())


def run_plain(
    session: Session,
    rubric: Rubric,
    *,
    by_hand: bool = False,
    sound: SoundControls | None = None,
) -> Frame | None:
    """Run the session to its end, reporting it on standard output, then the review, marked
    by ``rubric``. With ``by_hand``, standard input steers it, and ``sound``.
    """

    live = isinstance(session, BrewControls)
    gone: BrokenPipeError | None = None

    def say(line: str) -> None:
        nonlocal gone
        try:
            if gone is None:
                print(line, flush=True)
        except BrokenPipeError as error:
            if not live:
                raise
            # Who reads along may leave; who pours goes on, and the brew is kept.
            gone = error
        except OSError:
            # A full disk under the text must not end the brew; the review's print reports it.
            pass

    last = asyncio.run(_run(session, PlainVoice(say), sound, by_hand=by_hand))
    if gone is not None:
        raise gone
    review = review_lines(last, session.plan, rubric, session.arrangement)
    print("\n" + "\n".join(review), flush=True)
    return last


async def _run(
    session: Session, voice: PlainVoice, sound: SoundControls | None, *, by_hand: bool
) -> Frame | None:
    on_stop_signals(session.stop)
    noticed: str | None = None

    def hear(frame: Frame) -> None:
        nonlocal noticed
        voice.hear(frame)
        if session.notice != noticed:
            noticed = session.notice
            if noticed is not None:
                say_error(noticed)

    steered = taking_keys(cast("BrewedByHand", session), sound) if by_hand else nullcontext()
    with steered:
        return await session.run(hear)
