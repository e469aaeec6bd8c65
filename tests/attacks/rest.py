"""A scale left switched on: memory stays flat, and a long tape is judged as it comes."""

import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.attacks.command import environment, run_measured
from tests.attacks.tally import Tally

RATE_HZ = 10
SMALL_S = 1200
DAY_S = 86_400
MOST_GROWTH_MB = 12.0
"""From the first quarter to the end: what learns of a scale, and the allocator's own."""
MOST_MB = 150.0

RESTING = """
import random, resource, sys
from pourcoach.domain.inputs import Reading
from pourcoach.pipeline import Pipeline
def resident():
    return int(open('/proc/self/statm').read().split()[1]) * resource.getpagesize() / 2**20
noise, fold, count = random.Random(1), Pipeline(), int(sys.argv[1])
before = 0.0
for n in range(count):
    fold.feed(Reading(round(n / 10 + noise.uniform(0, 0.01), 4), round(noise.gauss(0, 0.05), 1)))
    if n == count // 4:
        before = resident()
print(before, resident())
"""

BREWING = """
import contextlib, io, resource, sys
from pourcoach.cli.main import main
def resident():
    return int(open('/proc/self/statm').read().split()[1]) * resource.getpagesize() / 2**20
count, before = int(sys.argv[1]), 0.0
for n in range(count):
    scale = f'sim:steady?speed=100&seed={n}'
    with contextlib.redirect_stdout(io.StringIO()):
        status = main(['brew', '--scale', scale, '--plain', '--by', 'Ada', '--no-config'])
    if status:
        sys.exit(f'brew {n}: exit {status}')
    if n == count // 4:
        before = resident()
print(before, resident())
"""
BREW_S = 210
"""Of the usual plan."""
BREWS_S = 6 * 3600


def attack(seed: int, size: int) -> Iterator[Tally]:  # noqa: ARG001 - the noise has a seed of its own
    """Twenty minutes in the small form, a day in the long one."""
    seconds = SMALL_S if size == 1 else DAY_S
    with tempfile.TemporaryDirectory() as name:
        yield _flat(f"{seconds / 3600:.1f} h of rest at {RATE_HZ} Hz", RESTING, seconds * RATE_HZ)
        if size > 1:
            yield _flat(f"{BREWS_S / 3600:g} h of brews", BREWING, BREWS_S // BREW_S)
        yield _judged(seconds, Path(name))


def _flat(what: str, code: str, count: int) -> Tally:
    """One program that goes on: its memory after a quarter and at the end."""
    tally = Tally(what)
    with tempfile.TemporaryDirectory() as name:
        done = _python(Path(name), code, str(count))
    if done.returncode:
        tally.tried(done.stderr[-300:])
        return tally
    before, after = map(float, done.stdout.split())
    tally.note = f"{before:.0f} MB after a quarter, {after:.0f} MB at the end"
    tally.tried(tally.note if after - before > MOST_GROWTH_MB else None)
    return tally


def _judged(seconds: int, home: Path) -> Tally:
    tally = Tally(f"{seconds / 3600:.1f} h tape through analyse")
    noise, path = random.Random(2), home / "long.jsonl"
    with path.open("w", encoding="utf-8") as lines:
        lines.write('{"pourcoach": 1, "plan": null}\n')
        grams = 0.0
        for n in range(seconds * RATE_HZ):
            # A pour of 20 s every hour.
            grams += 0.5 if 600 <= n % 36_000 < 800 else 0.0
            lines.write(f"[{n / RATE_HZ}, {round(grams + noise.gauss(0, 0.05), 1)}]\n")
    began_s = time.monotonic()
    status, used_mb = run_measured(home, "analyse", "--json", str(path))
    took_s = time.monotonic() - began_s
    tally.note = f"{took_s:.1f} s, {used_mb:.0f} MB"
    tally.tried(tally.note if status or used_mb > MOST_MB else None)
    return tally


def _python(home: Path, code: str, argument: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-c", code, argument],
        capture_output=True,
        text=True,
        check=False,
        env=environment(home),
    )
