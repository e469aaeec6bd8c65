"""Listens to a scale that is not known yet while a known weight comes and goes."""

import asyncio
from collections import Counter
from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from dataclasses import dataclass

from pourcoach.domain.errors import WorkError
from pourcoach.domain.units import Grams, Seconds
from pourcoach.scales.overhear import Overheard
from pourcoach.session.asker import Asker
from pourcoach.wire.capture import Capture, Chunk
from pourcoach.wire.description import Gatt, Transport

# Each stretch: 60 readings of a slow scale.
STRETCH_S: Seconds = 6.0
# A display settles after the weight was moved.
SETTLE_S: Seconds = 2.0
SKIP = "s"


@dataclass(frozen=True, slots=True)
class HeardCapture:
    """What was captured, of one source of bytes."""

    capture: Capture
    gatt: Gatt | None
    """Which characteristic it was; None over serial."""


Listening = Callable[[Callable[[Overheard], None]], AbstractAsyncContextManager[None]]
"""Opens the scale; everything it sends goes to the callable until the context is left."""


async def capture_scale(
    listening: Listening,
    asker: Asker,
    known_g: Grams,
    transport: Transport,
) -> list[HeardCapture]:
    """One capture for each characteristic that notified, the busiest first; one over serial.

    Raises WorkError where nothing comes at all.
    """
    heard: list[Overheard] = []
    stretches: list[list[Overheard]] = []

    async def stretch(text: str) -> bool:
        if (await asker.ask(text)).strip().lower() == SKIP:
            return False
        asker.tell("Listening; leave it alone…")
        await asyncio.sleep(SETTLE_S)
        heard.clear()
        await asyncio.sleep(STRETCH_S)
        stretches.append(list(heard))
        if not stretches[0]:
            raise WorkError(
                "nothing came from the scale",
                "see that it is on and set to send by itself, and try another baud rate",
            )
        return True

    async with listening(heard.append):
        await stretch("Take everything off the scale, then press Enter.")
        await stretch(f"Put {known_g:g} g on, then press Enter.")
        await stretch("Take it off again, then press Enter.")
        below = await stretch(
            f"To learn how it tells less than nothing: put {known_g:g} g on, press the scale's own "
            "zero or tare key, take the weight off, then press Enter ('s' leaves this out)."
        )
    sources = Counter(one.gatt for one in stretches[0])
    return [
        HeardCapture(
            Capture(
                known_g,
                off=_of(stretches[0], gatt),
                on=_of(stretches[1], gatt),
                off_again=_of(stretches[2], gatt),
                below=_of(stretches[3], gatt) if below else (),
                transport=transport,
            ),
            gatt,
        )
        for gatt, _ in sources.most_common()
    ]


def _of(heard: list[Overheard], gatt: Gatt | None) -> tuple[Chunk, ...]:
    return tuple((one.t_s, one.data) for one in heard if one.gatt == gatt)
