"""Plays samples from standard input on the usual device: ``python -m pourcoach.sound.device``.

A program of its own, as the machine's players are: what a sound system prints over the terminal,
and whatever it holds up, stays away from the brew.
"""

import sys
import threading
from collections.abc import Generator
from io import FileIO, RawIOBase

import miniaudio

from pourcoach.sound.synthesis import RATE_HZ

# 40 ms in all: less is heard to crackle on a busy machine, more to be late.
PERIOD_MS, PERIODS = 10, 4
BYTES_A_FRAME = 2


def play(stream: RawIOBase, backends: list[miniaudio.Backend] | None = None) -> None:
    """Until the stream ends. Raises MiniaudioError where there is no device."""
    ended = threading.Event()

    def frames() -> Generator[bytes, int, None]:
        wanted = yield b""
        while data := _exactly(stream, wanted * BYTES_A_FRAME):
            wanted = yield data
        ended.set()

    device = miniaudio.PlaybackDevice(
        output_format=miniaudio.SampleFormat.SIGNED16,
        nchannels=1,
        sample_rate=RATE_HZ,
        buffersize_msec=PERIOD_MS,
        callback_periods=PERIODS,
        backends=backends or [],
        app_name="pourcoach",
    )
    with device:
        if backends is None and device.backend == "Null":
            raise miniaudio.MiniaudioError("there is none but one that plays to nobody")
        source = frames()
        next(source)
        device.start(source)
        ended.wait()


def _exactly(stream: RawIOBase, count: int) -> bytes:
    """So many bytes, or fewer at the end. Unbuffered, for what is read ahead is heard late."""
    data = b""
    while len(data) < count and (more := stream.read(count - len(data))):
        data += more
    return data


def _main() -> int:
    try:
        play(FileIO(0))
    except miniaudio.MiniaudioError:
        print("no sound device can be opened", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(_main())
