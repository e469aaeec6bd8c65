"""One station's side of a room: tiles, findings, results and recordings, out to the broker."""

import asyncio
from contextlib import suppress
from pathlib import Path
from typing import Any

import aiomqtt

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.errors import PourcoachError, UsageError
from pourcoach.domain.printable import json_text
from pourcoach.domain.units import Seconds
from pourcoach.recordings.bounded_lines import BrokenLineError
from pourcoach.sharing.broker import connected
from pourcoach.sharing.outbox import Outbox, Waiting
from pourcoach.sharing.room import Room
from pourcoach.sharing.shared_brew import SharedBrew
from pourcoach.sharing.tape_parts import PackedTape, pack, read_missing
from pourcoach.sharing.tile import VERSION, TileFinding, finding_dict, tile_dict
from pourcoach.sharing.worker import Worker, end_tasks

TILES_PER_S = 10
"""More is not seen on a wall that draws as often."""
AT_LEAST_EVERY_S: Seconds = 1.0
"""So that a tile in which nothing changes does not grow old: half of what a wall calls old."""
ANSWER_WITHIN_S: Seconds = 3.0
LONGEST_ANSWER_S: Seconds = 30.0
LOOK_EVERY_S: Seconds = 0.2
GOODBYE_S: Seconds = 1.0


class Sharer(Worker):
    """Shares one station while the ``with`` lasts. No trouble of it reaches the brew."""

    def __init__(
        self, room: Room, station: str, shown: SharedBrew, outbox: Outbox, run: str
    ) -> None:
        """``run``: another word for each run of the program; the same as on its tiles."""
        super().__init__("sharing")
        self.trouble: str | None = None
        """Why nothing goes out, in a sentence; None while it does."""
        self.left_out = 0
        """Tiles that were due and were never sent: a newer one was there before the broker was."""
        self.sent = 0
        self._room = room
        self._station = station
        self._shown = shown
        self._outbox = outbox
        self._run = run
        self._put = True
        """Whether the outbox may hold something new."""
        self._packed: dict[Path, PackedTape] = {}
        """The last one that was offered."""
        self._answers: dict[str, asyncio.Queue[list[int]]] = {}

    def send(self, tape: Path, *, name: bool) -> None:
        """Have a finished recording sent, now or at the next start. Called from any thread; raises
        WorkError where it cannot be remembered."""
        self._outbox.put(tape, self._station, name=name)
        self._put = True

    @property
    def waiting(self) -> int:
        """Recordings that have not arrived yet."""
        return len(self._outbox.all())

    async def run(self) -> None:
        here = self._room.topic(self._station, "here")
        will = aiomqtt.Will(here, self._here("gone"), qos=1, retain=True)
        try:
            await connected(self._room, self._talk, self._set_trouble, will=will)
        except PourcoachError as error:
            self._set_trouble(str(error))

    def failed(self, error: Exception) -> None:
        self._set_trouble(
            f"sharing has ended by a fault of the program: {type(error).__name__}: {error}"
        )

    def _set_trouble(self, trouble: str | None) -> None:
        self.trouble = trouble

    def _here(self, state: str) -> bytes:
        message = {"here": VERSION, "state": state, "run": self._run}
        return json_text(message).encode()

    async def _talk(self, client: aiomqtt.Client) -> None:
        here = self._room.topic(self._station, "here")
        await client.subscribe(self._room.topic(self._station, "got"), qos=1)
        await client.publish(here, self._here("here"), qos=1, retain=True)
        tasks = [
            asyncio.create_task(act(client))
            for act in (self._tiles, self._findings, self._tapes, self._listen)
        ]
        try:
            done, _ = await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
            for task in done:
                task.result()
        except asyncio.CancelledError:
            # A clean end says so itself: the will is for the others.
            with suppress(aiomqtt.MqttError, TimeoutError):
                async with asyncio.timeout(GOODBYE_S):
                    await client.publish(here, self._here("gone"), qos=1, retain=True)
            raise
        finally:
            await end_tasks(tasks)

    async def _tiles(self, client: aiomqtt.Client) -> None:
        """Ten a second at most, and always the newest."""
        topic = self._room.topic(self._station, "tile")
        last: dict[str, Any] = {}
        sent_s = 0.0
        loop = asyncio.get_running_loop()
        due_s = loop.time()
        while True:
            tile = self._shown.look().tile
            now_s = loop.time()
            data = {} if tile is None else tile_dict(tile)
            # Beyond when they were made.
            said = {key: data[key] for key in data if key not in ("at", "number")}
            if data and (said != last or now_s - sent_s >= AT_LEAST_EVERY_S):
                await client.publish(topic, json_text(data).encode(), qos=0, retain=True)
                last, sent_s = said, now_s
                self.sent += 1
            due_s += 1 / TILES_PER_S
            late = int((loop.time() - due_s) * TILES_PER_S)
            if late > 0:
                # The broker did not take them as fast as they were due.
                self.left_out += late
                due_s += late / TILES_PER_S
            await asyncio.sleep(max(0.0, due_s - loop.time()))

    async def _findings(self, client: aiomqtt.Client) -> None:
        topic = self._room.topic(self._station, "finding")
        sent: dict[tuple[FlagKind, str | None], TileFinding] = {}
        while True:
            now = dict(self._shown.findings())
            for key, finding in now.items():
                if sent.get(key) != finding:
                    message = {"finding": VERSION, "run": self._run, **finding_dict(finding)}
                    await client.publish(topic, json_text(message).encode(), qos=1)
            sent = now
            await asyncio.sleep(LOOK_EVERY_S)

    # Recordings

    async def _listen(self, client: aiomqtt.Client) -> None:
        async for message in client.messages:
            try:
                hash_, missing = read_missing(_bytes(message.payload))
            except UsageError:
                continue
            if hash_ in self._answers:
                self._answers[hash_].put_nowait(missing)

    async def _tapes(self, client: aiomqtt.Client) -> None:
        """One after the other; what is not answered goes to the end."""
        wait_s = ANSWER_WITHIN_S
        waiting: list[Waiting] = []
        self._put = True
        while True:
            # Files are looked for only where there may be some.
            if self._put or waiting:
                self._put = False
                found = await asyncio.to_thread(self._outbox.all)
                waiting = [each for each in found if each.station == self._station]
                answered = False
                for each in waiting:
                    answered |= await self._offer(client, each, wait_s)
                # Where nobody listens there is no hurry.
                wait_s = ANSWER_WITHIN_S if answered else min(2 * wait_s, LONGEST_ANSWER_S)
            await asyncio.sleep(LOOK_EVERY_S)

    async def _offer(self, client: aiomqtt.Client, waiting: Waiting, wait_s: Seconds) -> bool:
        """Send what is missing of one recording; whether anybody answered."""
        try:
            packed = self._packed.get(waiting.tape)
            if packed is None:
                packed = await asyncio.to_thread(pack, waiting.tape, name=waiting.name)
        except (PourcoachError, BrokenLineError):
            # Taken away since, or damaged: there is nothing to send.
            self._outbox.drop(waiting)
            return False
        # It may be offered many times until somebody listens.
        self._packed = {waiting.tape: packed}
        answers = self._answers[packed.hash] = asyncio.Queue()
        try:
            # The first part is the offer: it is answered by what is missing.
            await self._send(client, packed, 0)
            answered = False
            while (missing := await _next(answers, wait_s)) is not None:
                answered = True
                if not missing:
                    await asyncio.to_thread(self._outbox.drop, waiting)
                    return True
                for part in missing:
                    if part < len(packed.parts):
                        await self._send(client, packed, part)
            return answered
        finally:
            del self._answers[packed.hash]

    async def _send(self, client: aiomqtt.Client, packed: PackedTape, part: int) -> None:
        topic = self._room.topic(self._station, "tape", packed.hash, str(part))
        await client.publish(topic, packed.message(part), qos=1)


async def _next(answers: "asyncio.Queue[list[int]]", wait_s: Seconds) -> list[int] | None:
    try:
        async with asyncio.timeout(wait_s):
            return await answers.get()
    except TimeoutError:
        return None


def _bytes(payload: object) -> bytes:
    return bytes(payload) if isinstance(payload, bytes | bytearray) else b""
