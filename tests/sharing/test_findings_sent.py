"""A finding is sent when it comes, and again only when it is another."""

import asyncio
import json
from collections.abc import AsyncIterator, Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest

from pourcoach.domain.advice import FlagKind
from pourcoach.sharing import sharer as sharer_module
from pourcoach.sharing.room import Room
from pourcoach.sharing.tile import TileFinding
from tests.sharing.made_station import Brew, sharer, until

ROOM = Room.parse("mqtt://broker.example/room")


class Broker:
    """Takes what is published."""

    def __init__(self) -> None:
        self.published: list[tuple[str, dict[str, Any]]] = []

    async def subscribe(self, topic: str, qos: int) -> None:
        del topic, qos

    async def publish(self, topic: str, payload: bytes, qos: int, *, retain: bool = False) -> None:
        del qos, retain
        self.published.append((topic, json.loads(payload)))

    @property
    async def messages(self) -> AsyncIterator[Any]:
        await asyncio.Event().wait()
        yield

    def said(self) -> list[str]:
        return [str(data["says"]) for topic, data in self.published if topic.endswith("/finding")]


def test_each_finding_is_sent_once_and_anew_when_it_is_worded_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    broker, brew = Broker(), Brew()

    async def connected(
        room: Room, talk: Callable[[Broker], Awaitable[None]], *_: Any, **__: Any
    ) -> None:
        del room
        await talk(broker)

    monkeypatch.setattr(sharer_module, "connected", connected)
    monkeypatch.setattr(sharer_module, "LOOK_EVERY_S", 0.001)
    stall = (FlagKind.STALL, "pour 1")
    with sharer(ROOM, tmp_path, brew):
        for wording in ("It stopped.", "It stopped for 2 s."):
            brew.noted = [(stall, TileFinding("stall", wording, "pour 1", 3.0))]
            until(lambda said=wording: said in broker.said())
        brew.noted = [*brew.noted, ((FlagKind.SURGE, None), TileFinding("surge", "!", None, 9.0))]
        until(lambda: "!" in broker.said())
    assert broker.said() == ["It stopped.", "It stopped for 2 s.", "!"]
