"""A scale with a platform, and a person who does what they are asked."""

import asyncio
import random
from collections.abc import AsyncIterator, Callable
from typing import Self

from pourcoach.domain.inputs import Link, Reading


class FakeBenchScale:
    """Sends what stands on it, ``hz`` times a second of its own time, as fast as it is read."""

    def __init__(
        self,
        *,
        hz: float = 10.0,
        noise: float = 0.02,
        shown: Callable[[float], float] = lambda grams: grams,
        mute: bool = False,
        seed: int = 1,
    ) -> None:
        self.grams = 0.0
        self.t_s = 0.0
        self.left = False
        self.unplugged = False
        self._links: list[Link] = []
        self._period_s = 1.0 / hz
        self._noise = noise
        self._shown = shown
        self._mute = mute
        self._chance = random.Random(seed)

    address = "fake"

    def say(self, link: Link) -> None:
        """Report the connection with the next reading."""
        self._links.append(link)

    def now(self) -> float:
        return self.t_s

    async def __aenter__(self) -> Self:
        return self

    async def __aexit__(self, *args: object) -> None:
        self.left = True

    async def __aiter__(self) -> AsyncIterator[Reading | Link]:
        if self._mute:
            yield Link(0.0, up=False, why="the scale on FAKE sends nothing")
            await asyncio.Event().wait()
        while True:
            while self._links:
                yield self._links.pop(0)
            self.t_s += self._period_s
            value = self._shown(self.grams) + self._chance.gauss(0, self._noise)
            yield Reading(self.t_s, value)
            await asyncio.sleep(0)

    async def tare(self) -> bool:
        return False


class FakePerson:
    """Answers by the first script entry whose words stand in the question."""

    def __init__(self, scale: FakeBenchScale, script: list[tuple[str, float | None, str]]) -> None:
        """``script``: words of a question, what then stands on the scale (None: as it was), and
        the answer. Each entry is used once, in order."""
        self._scale = scale
        self._script = list(script)
        self.messages: list[str] = []
        self.asked: list[str] = []

    def say(self, text: str) -> None:
        self.messages.append(text)
        self._act(text)

    async def ask(self, text: str) -> str:
        self.asked.append(text)
        answer = self._act(text)
        assert answer is not None, f"nothing left to say to {text!r}"
        await asyncio.sleep(0)
        return answer

    def _act(self, text: str) -> str | None:
        if not self._script or self._script[0][0] not in text:
            return None
        _, grams, answer = self._script.pop(0)
        if grams is not None:
            self._scale.grams = grams
        return answer
