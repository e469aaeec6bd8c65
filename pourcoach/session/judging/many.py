"""Many tapes judged on all cores, each kept in the library as it is done."""

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from pathlib import Path

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import WorkError
from pourcoach.library.judged import keep_judgement
from pourcoach.library.library import Library
from pourcoach.library.records import Brew, Judgement
from pourcoach.session.judging.judge import judge

# A process takes half a second to start; a brew takes about as long to judge.
LEAST_FOR_MANY = 4

Progress = Callable[[int, int], None]
"""Is given how many are done, of how many."""


def judge_brews(
    library: Library,
    brews: Sequence[Brew],
    rubric: Rubric,
    progress: Progress | None = None,
    cores: int | None = None,
    heard: Callable[[Brew, Judgement], None] | None = None,
) -> list[tuple[Brew, str]]:
    """Judge brews whose tapes are there and keep what comes out; those that could not be, and why.

    ``cores`` is how many processes to use, if not one for each core; ``heard`` is given each
    judgement as it comes. Raises WorkError where the
    library refuses; what was kept by then stays.
    """
    failed = []
    for done, (brew, result) in enumerate(_judged(brews, rubric, cores), 1):
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
    brews: Sequence[Brew], rubric: Rubric, cores: int | None
) -> Iterator[tuple[Brew, Judgement | str]]:
    cores = min(cores or os.cpu_count() or 1, len(brews))
    if cores < 2 or len(brews) < LEAST_FOR_MANY:
        for brew in brews:
            yield brew, _judge(brew.tape, rubric)
        return
    # Started anew and not forked: the screens have threads, which a fork would leave without.
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(cores, mp_context=context, initializer=_leave_keys_alone) as pool:
        waiting: dict[Future[Judgement | str], Brew] = {
            pool.submit(_judge, brew.tape, rubric): brew for brew in brews
        }
        try:
            for future in as_completed(waiting):
                try:
                    yield waiting[future], future.result()
                except BrokenProcessPool:
                    yield waiting[future], "the process that judged it was ended"
        finally:
            # Whoever stops listening waits for the brews under way, and for no other.
            pool.shutdown(cancel_futures=True)


def _judge(tape: Path, rubric: Rubric) -> Judgement | str:
    try:
        return judge(tape, rubric)
    except WorkError as error:
        return error.what


def _leave_keys_alone() -> None:
    """Ctrl+C goes to the whole group: the parent decides what it means."""
    with suppress(ValueError):
        signal.signal(signal.SIGINT, signal.SIG_IGN)
