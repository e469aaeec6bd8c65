"""The wall's side of a room: what every station sends, and the recordings that arrive."""

import asyncio
import time
from collections import OrderedDict
from collections.abc import Callable, Sequence
from contextlib import suppress

import aiomqtt

from pourcoach.domain.errors import PourcoachError, UsageError
from pourcoach.sharing.broker import connected
from pourcoach.sharing.curve import StationCurve
from pourcoach.sharing.heard import Heard
from pourcoach.sharing.room import Room, Topic
from pourcoach.sharing.seen import SeenStation
from pourcoach.sharing.tape_parts import Collected, missing_message, read_part
from pourcoach.sharing.worker import Worker

MOST_UNFINISHED = 256
"""Recordings under way at one time; the one that has waited longest gives way."""
MOST_UNFINISHED_BYTES = 256_000_000
MOST_PARTS_WAITING = 2000
"""24 MB of them."""

Land = Callable[[str, str, bytes], object]
"""Puts a recording away for good, in a thread: its station, hash and content. The same one again
changes nothing. Raises PourcoachError where it cannot be kept."""


class Listener(Worker):
    """A Board of a room on a broker."""

    def __init__(self, room: Room, land: Land, landed: Callable[[str], bool]) -> None:
        """``landed``: whether the recording of a hash is here already."""
        super().__init__("listening")
        self.heard = Heard()
        self.arrived = 0
        """Recordings that were put away."""
        self.trouble: str | None = None
        """Why there is no connection."""
        self.tape_trouble: str | None = None
        self._room = room
        self._land = land
        self._landed = landed
        self._unfinished: OrderedDict[str, Collected] = OrderedDict()

    @property
    def notice(self) -> str | None:
        return self.trouble or self.tape_trouble

    def seen(self) -> Sequence[SeenStation]:
        return self.heard.seen(time.monotonic())

    def curve(self, name: str) -> StationCurve | None:
        return self.heard.curve(name)

    async def run(self) -> None:
        try:
            await connected(self._room, self._talk, self._set_trouble)
        except PourcoachError as error:
            self._set_trouble(str(error))

    def failed(self, error: Exception) -> None:
        self._set_trouble(
            f"listening has ended by a fault of the program: {type(error).__name__}: {error}"
        )

    def _set_trouble(self, trouble: str | None) -> None:
        self.trouble = trouble

    async def _talk(self, client: aiomqtt.Client) -> None:
        quality = {"tile": 0, "finding": 1, "here": 1, "tape/+/+": 1}
        topics = [(f"{self._room.name}/+/{kind}", qos) for kind, qos in quality.items()]
        await client.subscribe(topics)
        # Recordings take time to be put away; no tile waits for them.
        parts: asyncio.Queue[tuple[Topic, bytes]] = asyncio.Queue(MOST_PARTS_WAITING)
        landing = asyncio.create_task(self._take_parts(client, parts))
        try:
            async for message in client.messages:
                topic = self._room.split(message.topic.value)
                payload = message.payload
                if topic is None or not isinstance(payload, bytes | bytearray):
                    continue
                if topic.rest[0] == "tape":
                    # One that finds no room is offered again.
                    with suppress(asyncio.QueueFull):
                        parts.put_nowait((topic, bytes(payload)))
                    continue
                self.heard.take(
                    topic.station,
                    topic.rest[0],
                    bytes(payload),
                    time.monotonic(),
                    kept=message.retain,
                )
        finally:
            landing.cancel()
            await asyncio.gather(landing, return_exceptions=True)

    async def _take_parts(
        self, client: aiomqtt.Client, parts: "asyncio.Queue[tuple[Topic, bytes]]"
    ) -> None:
        while True:
            topic, payload = await parts.get()
            try:
                await self._take_part(client, topic, payload)
            except aiomqtt.MqttError:
                continue  # a lost connection ends all of this; what was not answered comes again
            except Exception as error:
                self._refuse_tape(topic.station, f"{type(error).__name__}: {error}")

    async def _take_part(self, client: aiomqtt.Client, topic: Topic, payload: bytes) -> None:
        try:
            part = read_part(payload)
        except UsageError:
            self.heard.refused[topic.station] += 1
            return
        if part.part == 0 and await asyncio.to_thread(self._landed, part.hash):
            self._unfinished.pop(part.hash, None)
            await self._answer(client, topic, part.hash, [])
            return
        if part.part == 0:
            self._unfinished.setdefault(part.hash, Collected(part.hash, part.of))
        collected = self._unfinished.get(part.hash)
        if collected is None:
            return  # a late part of one that has landed, or was never offered
        self._unfinished.move_to_end(part.hash)
        if collected.of != part.of:
            self.heard.refused[topic.station] += 1
            return
        collected.parts[part.part] = part.data
        self._make_room()
        missing = collected.missing
        if missing and part.part == 0:
            await self._answer(client, topic, part.hash, missing)
        elif not missing:
            self._unfinished.pop(part.hash, None)
            if await self._put_away(topic.station, collected):
                await self._answer(client, topic, part.hash, [])

    async def _put_away(self, station: str, collected: Collected) -> bool:
        try:
            whole = await asyncio.to_thread(collected.whole)
            await asyncio.to_thread(self._land, station, collected.hash, whole)
        except UsageError:
            self.heard.refused[station] += 1
            return False
        except PourcoachError as error:
            self._refuse_tape(station, str(error))
            return False
        self.tape_trouble = None
        self.arrived += 1
        return True

    def _refuse_tape(self, station: str, why: str) -> None:
        self.tape_trouble = f"a recording of {station} could not be kept: {why}"

    async def _answer(
        self, client: aiomqtt.Client, topic: Topic, hash_: str, missing: list[int]
    ) -> None:
        to = self._room.topic(topic.station, "got")
        await client.publish(to, missing_message(hash_, missing), qos=1)

    def _make_room(self) -> None:
        while len(self._unfinished) > 1 and (
            len(self._unfinished) > MOST_UNFINISHED
            or sum(sum(map(len, each.parts.values())) for each in self._unfinished.values())
            > MOST_UNFINISHED_BYTES
        ):
            self._unfinished.popitem(last=False)
