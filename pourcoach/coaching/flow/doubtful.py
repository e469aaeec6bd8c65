"""Stretches of a pour that may have been a stall or a surge, for all that the readings show."""

from collections.abc import Iterator, Sequence

from pourcoach.coaching.flow.excursions import Excursion, excursions, hidden
from pourcoach.coaching.flow.trace import Sample, Trace
from pourcoach.domain.units import GramsPerSecond, Seconds


def doubtful(
    trace: Trace,
    pour_s: tuple[Seconds, Seconds],
    seen: Sequence[Excursion],
    usual_gps: GramsPerSecond,
    limit_gps: GramsPerSecond,
    least_s: Seconds,
) -> Iterator[tuple[Seconds, Seconds]]:
    """Stretches that may have been beyond the limit for ``least_s`` in a pour that lasted
    ``pour_s``; ``seen`` is what its clear values show, long enough or not."""
    clear = trace.clear(*pour_s)
    yield from hidden(clear, seen, least_s, pour_s, usual_gps)
    every = trace.between(*pour_s)
    if len(every) > len(clear):
        long = [one for one in seen if one.lasted_s >= least_s]
        yield from _believed(every, long, usual_gps, limit_gps, least_s)
    yield from _unseen(trace, pour_s, usual_gps, limit_gps, least_s)


def _believed(
    every: Sequence[Sample],
    seen: Sequence[Excursion],
    usual_gps: GramsPerSecond,
    limit_gps: GramsPerSecond,
    least_s: Seconds,
) -> Iterator[tuple[Seconds, Seconds]]:
    """Those that last so long where unclear values are believed, too, and were not ``seen``."""
    for one in excursions(every, usual_gps, limit_gps):
        known = any(other.start_s <= one.end_s and one.start_s <= other.end_s for other in seen)
        if one.lasted_s >= least_s and not known:
            yield one.start_s, one.end_s


def _unseen(
    trace: Trace,
    pour_s: tuple[Seconds, Seconds],
    usual_gps: GramsPerSecond,
    limit_gps: GramsPerSecond,
    least_s: Seconds,
) -> Iterator[tuple[Seconds, Seconds]]:
    """Those whose water came unseen, as much more or less than usual as at the limit for so
    long."""
    sign = 1.0 if limit_gps > usual_gps else -1.0
    least_g = sign * (limit_gps - usual_gps) * least_s
    for start_s, end_s, rose_g in trace.unseen(*pour_s):
        lasts_s = end_s - start_s
        is_beyond = sign * (rose_g - limit_gps * lasts_s) > 0.0
        if is_beyond and sign * (rose_g - usual_gps * lasts_s) >= least_g:
            yield start_s, end_s
