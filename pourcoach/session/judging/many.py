"""Many tapes judged on all cores, each kept in the library as it is done."""

import multiprocessing
import os
import signal
import sys
from collections import deque
from collections.abc import Callable, Generator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import closing, redirect_stderr, suppress
from functools import partial
from multiprocessing import resource_tracker
from pathlib import Path

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import WorkError
from pourcoach.domain.units import Seconds
from pourcoach.library.judged import keep_judgement
from pourcoach.library.library import Library
from pourcoach.library.records import Brew, Judgement
from pourcoach.session.judging.judge import judge

# A process takes half a second to start; a brew takes about as long to judge.
LEAST_FOR_MANY = 4
_ENDED = "the process that judged it was ended"
_STOPS_WITHIN_S: Seconds = 0.1
"""Shorter than a wait that is felt after a key; common practice."""
_NICE = 10
"""Whatever else runs goes first; the usual step of nice(1)."""

Progress = Callable[[int, int], None]
"""Is given how many are done, of how many."""


def judge_brews(
    library: Library,
    brews: Sequence[Brew],
    rubric: Rubric,
    progress: Progress | None = None,
    cores: int | None = None,
    heard: Callable[[Brew, Judgement], None] | None = None,
    *,
    stopped: Callable[[], bool] = lambda: False,
    beside: bool = False,
) -> list[tuple[Brew, str]]:
    """Judge brews whose tapes are there and keep what comes out; those that could not be, and why.

    ``cores`` is how many processes to use, if not one for each core; ``heard`` is given each
    judgement as it comes; once ``stopped`` gives True, the rest is left. With ``beside``, none of
    the work is done in this process, and all of it only when the machine has nothing else to do.
    Raises WorkError where the library refuses; what was kept by then stays.
    """
    failed = []
    with closing(_judged(brews, rubric, cores, stopped, beside=beside)) as judged:
        for done, (brew, result) in enumerate(judged, 1):
            if isinstance(result, Judgement):
                keep_judgement(library, brew.number, result)
                if heard is not None:
                    heard(brew, result)
            else:
                failed.append((brew, result))
            if progress is not None:
                progress(done, len(brews))
    return failed


def _judged(
    brews: Sequence[Brew],
    rubric: Rubric,
    cores: int | None,
    stopped: Callable[[], bool],
    *,
    beside: bool,
) -> Generator[tuple[Brew, Judgement | str], None, None]:
    if not brews:
        return
    cores = min(cores or os.cpu_count() or 1, len(brews))
    if not beside and (cores < 2 or len(brews) < LEAST_FOR_MANY):
        for brew in brews:
            if stopped():
                return
            yield brew, _judge(brew.tape, rubric)
        return
    # Started anew and not forked: the screens have threads, which a fork would leave without.
    context = multiprocessing.get_context("spawn")
    start = partial(_start, beside=beside)
    _start_tracker()
    left = deque(brews)
    # Whoever stops listening waits for those under way; a second one for each process leaves none
    # idle while a first one is kept.
    at_once = cores if beside else 2 * cores
    under_way: dict[Future[Judgement | str], Brew] = {}
    others = set(multiprocessing.active_children())
    with ProcessPoolExecutor(cores, mp_context=context, initializer=start) as pool:
        while left or under_way:
            while left and len(under_way) < at_once:
                brew = left.popleft()
                under_way[_submitted(pool, brew.tape, rubric)] = brew
            ended, _ = wait(under_way, _STOPS_WITHIN_S, FIRST_COMPLETED)
            if stopped():
                # They only read: whoever leaves the screen does not wait for them.
                for process in set(multiprocessing.active_children()) - others:
                    process.terminate()
                return
            for future in ended:
                brew = under_way.pop(future)
                try:
                    yield brew, future.result()
                except BrokenProcessPool:
                    yield brew, _ENDED


def _start_tracker() -> None:
    """Of multiprocessing, which is given standard error: in a running app that is a stand-in, and
    no file.
    """
    if sys.platform != "win32":
        with redirect_stderr(sys.__stderr__):
            resource_tracker.ensure_running()


def _submitted(pool: ProcessPoolExecutor, tape: Path, rubric: Rubric) -> Future[Judgement | str]:
    try:
        return pool.submit(_judge, tape, rubric)
    except BrokenProcessPool:
        broken: Future[Judgement | str] = Future()
        broken.set_result(_ENDED)
        return broken


def _judge(tape: Path, rubric: Rubric) -> Judgement | str:
    try:
        return judge(tape, rubric)
    except WorkError as error:
        return error.what


def _start(*, beside: bool) -> None:
    """Ctrl+C goes to the whole group: the parent decides what it means."""
    with suppress(ValueError):
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    if beside and sys.platform != "win32":
        os.nice(_NICE)
