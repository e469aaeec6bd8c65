"""A live brew end to end: merges readings, keys and silence, feeds the fold, writes the tape."""

import asyncio
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path

from pourcoach.domain.errors import WorkError
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import (
    Begin,
    Finish,
    Input,
    Link,
    Mark,
    Note,
    Reading,
    Silence,
    Tare,
    Undo,
)
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.pour import Ending, Phase, Question
from pourcoach.domain.printable import LONGEST_REMARK, printable
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Seconds
from pourcoach.pipeline import Pipeline, load_hindsight
from pourcoach.recordings.writer import TapeWriter
from pourcoach.scales.scale import Scale
from pourcoach.scales.worked_out.kettle import KettleScale
from pourcoach.session.clock import Clock
from pourcoach.session.in_slices import done_in_slices
from pourcoach.session.inbox import Action, Inbox, Item
from pourcoach.session.protocols import OnFrame
from pourcoach.simulation.kettle import Kettle
from pourcoach.wording import trouble_sentence

# Without a reading for this long, time is given to the fold by a Silence: half of the second
# after which a gap is flagged, so that the gap is seen while it grows.
SILENCE_S: Seconds = 0.5
# A loop on a busy machine is late by some tens of milliseconds; a fast clock must not take those
# for silence of the scale.
LEAST_REAL_SILENCE_S: Seconds = 0.25
# While water runs or is still to come, the main action ends a brew only when it is asked for twice
# within this long: one press may come from a sleeve or a wet cloth. Wall time.
FINISH_AGAIN_S: Seconds = 1.0
# After the brewer ends a brew by key, this long to take it back: to see it, to put the kettle down
# and to press a key. Wall time; common practice for undo.
UNDO_S: Seconds = 5.0
# A scale that has not taken a tare command by then is left alone; ours holds in any case.
TARE_TIMEOUT_S: Seconds = 1.0
# Times are rounded to what the tape shows, before the fold sees them: live equals replay.
TIME_DIGITS = 4

_COUNTED_BY_MAIN = (Question.GAIN, Question.LOST)


class BrewSession:
    """One live brew. The screen calls the plain methods; ``run`` does the work."""

    def __init__(
        self,
        scale: Scale,
        clock: Clock,
        plan: Plan | None = None,
        setup: Setup | None = None,
        tape: TapeWriter | None = None,
        listener: Callable[[Frame], None] | None = None,
        keep: Callable[[Frame], None] | None = None,
        observer: Callable[[Input, Frame], None] | None = None,
    ) -> None:
        """``listener`` hears every Frame before the screen does: a simulated hand. ``observer`` is
        given each input with it; a session that has one goes on after the brew until stopped.

        ``keep`` is given the last Frame, in a thread, once the tape is closed; a WorkError it
        raises is reported in ``notice``.
        """
        self._scale = scale
        self._clock = clock
        self._plan = plan
        self._setup = setup or Setup()
        self._pipeline = Pipeline(plan, self._setup)
        self._tape = tape
        self._listener = listener
        self._keep = keep
        self._observer = observer
        self._inbox = Inbox()
        self._newest: Frame | None = None
        self._last_s: Seconds = 0.0
        self._link_trouble: str | None = None
        self._link_remark: str = ""
        """What a scale that is there should be known for, as a coarse step."""
        self._keep_trouble: str | None = None
        self._asked_s: Seconds | None = None
        """When the main action was last asked for while it would have cut the brew short."""
        self._done_s: Seconds | None = None
        """When the fold was first done, since it last was not."""

    @property
    def plan(self) -> Plan | None:
        return self._plan

    @property
    def kettle(self) -> Kettle | None:
        return self._scale.kettle if isinstance(self._scale, KettleScale) else None

    @property
    def arrangement(self) -> Arrangement:
        return self._setup.arrangement

    @property
    def newest(self) -> Frame | None:
        return self._newest

    @property
    def notice(self) -> str | None:
        lost = self._link_trouble
        phase = Phase.READY if self._newest is None else self._newest.pour.phase
        if lost is not None and phase not in (Phase.READY, Phase.DONE):
            lost += "; the brew goes on"
        return lost or self.trouble or self._scale_trouble or self._link_remark or None

    @property
    def _scale_trouble(self) -> str | None:
        return None if self._newest is None else trouble_sentence(self._newest.estimate.traits)

    @property
    def recording(self) -> Path | None:
        return None if self._tape is None else self._tape.kept

    @property
    def trouble(self) -> str | None:
        """What keeps the brew from being kept, on the tape or in the library; None if nothing."""
        tape_trouble = None if self._tape is None else self._tape.trouble
        return tape_trouble or self._keep_trouble

    def now(self) -> Seconds:
        return self._clock.now()

    def main(self) -> None:
        pour = None if self._newest is None else self._newest.pour
        phase = Phase.READY if pour is None else pour.phase
        if phase is Phase.READY or (pour is not None and pour.question in _COUNTED_BY_MAIN):
            self.act(Begin)
        elif phase is Phase.DRAINING or (phase is not Phase.DONE and self.finish_asked):
            self._asked_s = None
            self.finish()
        elif phase is not Phase.DONE:
            self._asked_s = self.now()

    @property
    def finish_asked(self) -> bool:
        asked_s = self._asked_s
        return asked_s is not None and self._clock.real_s(self.now() - asked_s) <= FINISH_AGAIN_S

    @property
    def undo_left_s(self) -> Seconds:
        if self._done_s is None or self._newest is None:
            return 0.0
        if self._newest.pour.ending is not Ending.KEY:
            return 0.0
        return max(0.0, UNDO_S - self._clock.real_s(self.now() - self._done_s))

    def tare(self) -> None:
        self.act(Tare)

    def mark(self) -> None:
        self.act(Mark)

    def note(self, text: str) -> None:
        said = printable(text, LONGEST_REMARK)
        self.act(lambda t_s: Note(t_s, said))

    def undo(self) -> None:
        self.act(Undo)

    def finish(self) -> None:
        self.act(Finish)

    def stop(self) -> None:
        self._inbox.put(None)

    def act(self, action: Action) -> None:
        """Have an input made with the time of the newest one, and folded in its turn."""
        self._inbox.put(action)

    async def run(self, on_frame: OnFrame) -> Frame | None:
        with ExitStack() as recording:
            # The tape closes last, after its end is written.
            if self._tape is not None:
                recording.callback(self._tape.close)
            recording.callback(self._write_end)
            async with self._scale as scale:
                listening = asyncio.create_task(self._listen(scale))
                loading = asyncio.create_task(asyncio.to_thread(load_hindsight))
                try:
                    await self._fold(scale, on_frame)
                finally:
                    await _end_task(listening)
                    await loading
                # Before the scale lets go, which may take longer than the screen waits.
                recording.close()
                await self._conclude(on_frame)
        return self._newest

    async def _conclude(self, on_frame: OnFrame) -> None:
        if self._newest is None:
            return
        finishing = self._pipeline.finishing(self._last_s)
        self._newest = last = await done_in_slices(finishing)
        if self._keep is not None:
            try:
                await asyncio.to_thread(self._keep, last)
            except WorkError as error:
                self._keep_trouble = str(error)
        on_frame(last)

    async def _listen(self, scale: Scale) -> None:
        try:
            async for item in scale:
                await self._inbox.bring(item)
        except Exception as error:
            self._inbox.put(error)
        else:
            self._inbox.put(None)

    async def _fold(self, scale: Scale, on_frame: OnFrame) -> None:
        while (item := await self._next_input(scale)) is not None:
            frame = self._feed(item)
            if frame.pour.phase is not Phase.DONE:
                self._done_s = None
            elif self._done_s is None:
                self._done_s = self.now()
            on_frame(frame)
            if self._observer is None and self._done_s is not None and self.undo_left_s == 0.0:
                return

    async def _next_input(self, scale: Scale) -> Input | None:
        item = await self._next_item()
        if isinstance(item, Exception):
            raise item
        if not callable(item):
            return item
        # A key press counts from the newest moment that the fold knows: readings older than
        # the press may still be on their way.
        action = item(self._last_s)
        if isinstance(action, Tare):
            return replace(action, by_scale=await self._tare(scale))
        return action

    async def _next_item(self) -> Item | Silence:
        silence_s = max(self._clock.real_s(SILENCE_S), LEAST_REAL_SILENCE_S)
        try:
            return await self._inbox.take(silence_s)
        except TimeoutError:
            return Silence(self.now())

    async def _tare(self, scale: Scale) -> bool:
        try:
            async with asyncio.timeout(TARE_TIMEOUT_S):
                return await scale.tare()
        except TimeoutError:
            return False

    def _feed(self, item: Input) -> Frame:
        t_s = max(self._last_s, round(item.t_s, TIME_DIGITS))
        if t_s != item.t_s:
            item = replace(item, t_s=t_s)
        self._last_s = t_s
        if self._tape is not None:
            self._tape.append(item)
        if isinstance(item, Link):
            self._link_trouble = None if item.up else item.why
            if item.up:
                self._link_remark = item.why
        elif isinstance(item, Reading):
            self._link_trouble = None
        stages = 0 if self._newest is None else len(self._newest.pour.stages)
        phase = None if self._newest is None else self._newest.pour.phase
        self._newest = frame = self._pipeline.feed(item)
        if self._tape is not None and (len(frame.pour.stages), frame.pour.phase) != (stages, phase):
            # A stage begins or ends: what a pulled plug may cost is the pour under way.
            self._tape.sync()
        if self._listener is not None:
            self._listener(frame)
        if self._observer is not None:
            self._observer(item, frame)
        return frame

    def _write_end(self) -> None:
        if self._tape is not None and self._newest is not None:
            self._tape.finish(self._last_s)


async def _end_task(task: asyncio.Task[None]) -> None:
    task.cancel()
    await asyncio.gather(task, return_exceptions=True)
