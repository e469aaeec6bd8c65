"""Live readings of one scale as text: a line that changes on a terminal, lines elsewhere."""

import asyncio
import sys
from contextlib import suppress
from typing import Any

from pourcoach.cli.console.terminal import to_line_start
from pourcoach.domain.inputs import Link
from pourcoach.domain.printable import json_text
from pourcoach.reports.scale.live_line import live_line
from pourcoach.scales.known.names import scale_address
from pourcoach.scales.link.supervised import SupervisedScale
from pourcoach.scales.open import calibration_in_force, open_scale
from pourcoach.scales.scale import Scale
from pourcoach.scales.watch import Behaviour, ScaleWatch
from pourcoach.session.clock import Clock
from pourcoach.wire.lines.line_decoder import LineDecoder

# As often as figures can be read as they change; a log wants fewer.
SCREEN_BEAT_S = 0.2
LOG_BEAT_S = 1.0


def show_live(address: str, seconds: float | None, *, as_json: bool) -> int:
    """Show readings until Ctrl+C, or for so many seconds; the exit status."""
    with suppress(KeyboardInterrupt):
        return 0 if asyncio.run(_show(address, seconds, as_json=as_json)) else 1
    return 0


async def _show(address: str, seconds: float | None, *, as_json: bool) -> bool:
    """Whether any reading came."""
    clock = Clock()
    on_screen = sys.stdout.isatty() and not as_json
    named = scale_address(address)
    kept = calibration_in_force(named)
    if kept is not None and not as_json:
        print(f"These readings are {kept.words}; 'pourcoach calibrate --undo' takes it back.")
    async with open_scale(named, clock.now) as scale:
        watch = ScaleWatch()
        reading = asyncio.create_task(_read(scale, watch, calibrated=kept is not None))
        try:
            while not reading.done() and (seconds is None or clock.now() < seconds):
                await asyncio.sleep(SCREEN_BEAT_S if on_screen else LOG_BEAT_S)
                behaviour = watch.behaviour()
                if behaviour is not None:
                    figures = live_figures(behaviour, scale)
                    figures["calibration"] = None if kept is None else kept.as_dict()
                    _print(figures, on_screen=on_screen, as_json=as_json)
            if reading.done():
                reading.result()
            return watch.behaviour() is not None
        finally:
            reading.cancel()
            await asyncio.gather(reading, return_exceptions=True)
            if on_screen:
                print()


async def _read(scale: Scale, watch: ScaleWatch, *, calibrated: bool) -> None:
    """Feed the watch. That it is ``calibrated`` is said once, above the readings."""
    async for item in scale:
        if not isinstance(item, Link):
            watch.feed(item)
        elif item.why and not (item.up and calibrated):
            print(f"pourcoach: {item.why}", file=sys.stderr)


def live_figures(behaviour: Behaviour, scale: Scale) -> dict[str, Any]:
    """What is shown, by its JSON keys; None where it cannot be said yet or does not apply."""
    decoder = scale.decoder if isinstance(scale, SupervisedScale) else None
    return {
        "grams_g": behaviour.grams,
        "rate_hz": behaviour.rate_hz,
        "noise_g": behaviour.noise_g,
        "longest_gap_s": behaviour.longest_gap_s,
        "dropped": None
        if decoder is None
        else {reason.value: count for reason, count in decoder.dropped.items()},
        "missed": decoder.missed if isinstance(decoder, LineDecoder) else None,
    }


def _print(figures: dict[str, Any], *, on_screen: bool, as_json: bool) -> None:
    if as_json:
        print(json_text(figures), flush=True)
        return
    line = live_line(figures)
    if on_screen:
        to_line_start(sys.stdout)
    print(f"{line:<79}" if on_screen else line, end="" if on_screen else "\n", flush=True)
