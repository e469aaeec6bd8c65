"""Far too much: valid lines, random bytes, packed bombs, endless lines."""

import gzip
import random
import resource
import signal
import socket
import subprocess
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from pourcoach.domain.pour import Phase
from pourcoach.pipeline import Pipeline
from pourcoach.wire.lines.line_decoder import LineDecoder
from tests.attacks.command import run_measured, started
from tests.attacks.tally import Tally

HEADER = b'{"pourcoach": 1, "plan": null}\n'
MOST_MB = 300
FLOOD_S = 3.0
LINES_A_SECOND = 16_000
LEAST_LINES = 200
"""On the recording, or it was no flood."""
HEARD_WITHIN_S = 5.0
"""On a busy machine; the note has what it took."""


def attack(seed: int, size: int) -> Iterator[Tally]:
    """Memory stays bounded, signals are heard, and rubbish is no weight."""
    yield _rubbish(seed, size)
    yield _bombs(size)
    yield _flood(min(size, 5))


def _rubbish(seed: int, size: int) -> Tally:
    """Random bytes begin no brew."""
    tally = Tally("random bytes (1 MB each)")
    taken = 0
    for number in range(2 * size):
        noise = random.Random(f"{seed} {number}")
        decoder, fold = LineDecoder(), Pipeline()
        begun = False
        for step in range(100):
            for reading in decoder.feed(noise.randbytes(10_000), step / 10):
                taken += 1
                begun = begun or fold.feed(reading).pour.phase is not Phase.READY
        tally.tried(f"seed {seed} number {number}: a brew has begun" if begun else None)
    tally.note = f"{taken} readings taken"
    return tally


def _bombs(size: int) -> Tally:
    """Each in a process of its own, by the most memory that it ever had."""
    tally = Tally("bombs through analyse")
    large = 1 if size == 1 else 100
    worst_mb = 0.0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for path in _made(folder, large):
            status, used_mb = run_measured(folder, "analyse", "--json", str(path))
            worst_mb = max(worst_mb, used_mb)
            bad = used_mb > MOST_MB or status not in (0, 1)
            tally.tried(f"{path.name}: exit {status}, {used_mb:.0f} MB" if bad else None)
            path.unlink()
    tally.note = f"at most {worst_mb:.0f} MB"
    return tally


def _made(folder: Path, large: int) -> "list[Path]":
    """``large`` megabytes of a line, or as many lines as fit in fifteen times that."""

    def packed(name: str, *pieces: tuple[bytes, int]) -> Path:
        path = folder / name
        with gzip.open(path, "wb", compresslevel=6) as file:
            for piece, times in pieces:
                for _ in range(times):
                    file.write(piece)
        return path

    line = b"[" + b"1" * (1 << 20)
    note = b'{"t": 1, "note": "' + b"x" * 60_000 + b'"}\n'
    constant = b"[0.1, 0.0]\n" * 10_000
    rising = [(b"".join(b"[%d.%d, 0]\n" % divmod(n, 10) for n in range(5_000 * large)), 1)]
    return [
        packed("long-line.jsonl.gz", (HEADER, 1), (line, 20 * large)),
        packed("long-header.jsonl.gz", (b'{"pourcoach": 1, "x": "', 1), (line, large)),
        packed("equal-times.jsonl.gz", (HEADER, 1), (constant, 30 * large)),
        packed("rising-times.jsonl.gz", (HEADER, 1), *rising),
        packed("blank-lines.jsonl.gz", (HEADER, 1), (b"\n" * (1 << 20), large)),
        packed("marks.jsonl.gz", (HEADER, 1), (b'{"t": 1, "input": "mark"}\n' * 1000, 30 * large)),
        packed("unknown.jsonl.gz", (HEADER, 1), (b'{"t": 1, "input": "x"}\n' * 1000, 30 * large)),
        packed("deep.jsonl.gz", (HEADER, 1), (b"[" * 60_000 + b"\n", 3)),
        packed("notes.jsonl.gz", (HEADER, 1), (note, 40 * large)),
    ]  # fmt: skip


def _flood(times: int) -> Tally:
    """Valid lines at a rate that no scale has; then the brew is asked to end."""
    tally = Tally(f"flood of {LINES_A_SECOND} lines a second")
    slowest_s = most_mb = 0.0
    for _ in range(times):
        with (
            tempfile.TemporaryDirectory() as name,
            socket.create_server(("127.0.0.1", 0)) as server,
        ):
            begun, over = threading.Event(), threading.Event()
            flooding = threading.Thread(target=_send_all, args=(server, begun, over))
            flooding.start()
            target = f"serial:socket://127.0.0.1:{server.getsockname()[1]}"
            brew = started(Path(name), "brew", "--scale", target, "--plain", "--no-config")
            begun.wait(60)
            time.sleep(FLOOD_S)
            used_mb = _resident_mb(brew.pid)
            began_s = time.monotonic()
            brew.send_signal(signal.SIGTERM)
            try:
                brew.communicate(timeout=60)
                took_s = time.monotonic() - began_s
            except subprocess.TimeoutExpired:
                brew.kill()
                brew.communicate()
                took_s = 60.0
            over.set()
            flooding.join()
            tapes = list((Path(name) / "tapes").glob("*.jsonl"))
            arrived = tapes[0].read_bytes().count(b"\n") if tapes else 0
        slowest_s, most_mb = max(slowest_s, took_s), max(most_mb, used_mb)
        bad = took_s > HEARD_WITHIN_S or used_mb > MOST_MB or arrived < LEAST_LINES
        what = f"ended after {took_s:.1f} s, {used_mb:.0f} MB, {arrived} lines taken"
        tally.tried(what if bad else None)
    tally.note = f"SIGTERM heard in at most {slowest_s:.1f} s, {most_mb:.0f} MB"
    return tally


def _send_all(server: socket.socket, begun: threading.Event, over: threading.Event) -> None:
    server.settimeout(60)
    with suppress(OSError):
        peer, _ = server.accept()
        begun.set()
        with peer:
            peer.settimeout(0.5)
            lines = b"".join(b"%.1f g\r\n" % (n / 10) for n in range(LINES_A_SECOND // 20))
            while not over.is_set():
                with suppress(TimeoutError):
                    peer.sendall(lines)
                time.sleep(0.05)


def _resident_mb(program: int) -> float:
    """Now; 0 where the system does not give it."""
    try:
        pages = int(Path(f"/proc/{program}/statm").read_text(encoding="ascii").split()[1])
    except (OSError, IndexError):
        return 0.0
    return pages * resource.getpagesize() / (1 << 20)
