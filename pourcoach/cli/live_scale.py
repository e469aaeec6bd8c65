"""Live readings of one scale as text: a line that changes on a terminal, lines elsewhere."""

import asyncio
import json
import sys
from contextlib import suppress

from pourcoach.domain.inputs import Link
from pourcoach.scales.names import scale_address
from pourcoach.scales.open import open_scale
from pourcoach.scales.scale import Scale
from pourcoach.scales.watch import Behaviour, ScaleWatch
from pourcoach.session.clock import Clock

# As often as figures can be read as they change; a log wants fewer.
SCREEN_BEAT_S = 0.2
LOG_BEAT_S = 1.0


def show_live(address: str, seconds: float | None, *, as_json: bool) -> int:
    """Show readings until Ctrl+C, or for so many seconds; the exit status."""
    with suppress(KeyboardInterrupt):
        asyncio.run(_show(address, seconds, as_json=as_json))
    return 0


async def _show(address: str, seconds: float | None, *, as_json: bool) -> None:
    clock = Clock()
    on_screen = sys.stdout.isatty() and not as_json
    async with open_scale(scale_address(address), clock.now) as scale:
        watch = ScaleWatch()
        reading = asyncio.create_task(_read(scale, watch))
        try:
            while not reading.done() and (seconds is None or clock.now() < seconds):
                await asyncio.sleep(SCREEN_BEAT_S if on_screen else LOG_BEAT_S)
                behaviour = watch.behaviour()
                if behaviour is not None:
                    _print(behaviour, on_screen=on_screen, as_json=as_json)
            if reading.done():
                reading.result()
        finally:
            reading.cancel()
            await asyncio.gather(reading, return_exceptions=True)
            if on_screen:
                print()


async def _read(scale: Scale, watch: ScaleWatch) -> None:
    async for item in scale:
        if not isinstance(item, Link):
            watch.feed(item)
        elif item.why:
            print(f"pourcoach: {item.why}", file=sys.stderr)


def _print(behaviour: Behaviour, *, on_screen: bool, as_json: bool) -> None:
    if as_json:
        figures = {
            "grams_g": behaviour.grams,
            "rate_hz": behaviour.rate_hz,
            "noise_g": behaviour.noise_g,
            "longest_gap_s": behaviour.longest_gap_s,
        }
        print(json.dumps(figures), flush=True)
        return
    line = live_line(behaviour)
    print(f"\r{line:<72}" if on_screen else line, end="" if on_screen else "\n", flush=True)


def live_line(behaviour: Behaviour) -> str:
    """One line of figures; what cannot be said yet is a dash."""
    rate = "–" if behaviour.rate_hz is None else f"{behaviour.rate_hz:.1f}"
    noise = "–" if behaviour.noise_g is None else f"{behaviour.noise_g:.3f}"
    gap = "–" if behaviour.longest_gap_s is None else f"{behaviour.longest_gap_s * 1000:.0f}"
    return f"{behaviour.grams:9.2f} g   {rate:>6} Hz   noise {noise} g   longest gap {gap} ms"
