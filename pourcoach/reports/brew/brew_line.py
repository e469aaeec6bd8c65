"""One brew on one line, for lists: when, who, what leads its review, marks, water, time."""

from datetime import datetime

from pourcoach.coaching.marking.marking import Marks
from pourcoach.domain.brew_clock import clock
from pourcoach.domain.frame import Frame
from pourcoach.recordings.tape import TapeHeader
from pourcoach.reports.brew.verdict import verdict

NOTHING = "–"
_WHEN, _HEADLINE, _MARKS, _WATER, _TIME = 16, 20, 9, 6, 5


def list_heading(who: int) -> str:
    """The heading over such lines; ``who`` is the widest name's length."""
    return _row("WHEN", "WHO", "VERDICT", "MARKS", "WATER", "TIME", "RECORDING", who)


def brew_line(
    name: str, header: TapeHeader, last: Frame | None, marks: Marks | None, who: int
) -> str:
    """``name`` is the recording's, as the reader knows it; ``last`` its refined last Frame."""
    if last is None:
        figures = ("NOTHING CAME", NOTHING, NOTHING, NOTHING)
    else:
        judged = marks is not None and marks.judged > 0
        figures = (
            verdict(last, header.plan, marks, header.setup.arrangement).headline,
            f"{marks.met} of {marks.judged}" if marks is not None and judged else NOTHING,
            f"{last.pour.water_g:.0f} g",
            NOTHING if last.pour.brew_s is None else clock(last.pour.brew_s),
        )
    headline, met, water, time = figures
    return _row(
        when(header.recorded_at), header.by or NOTHING, headline, met, water, time, name, who
    )


def when(recorded_at: str) -> str:
    """Day and minute where the brew was made; a dash where that is not known."""
    try:
        return f"{datetime.fromisoformat(recorded_at):%Y-%m-%d %H:%M}"
    except ValueError:
        return NOTHING


def _row(
    when: str, by: str, headline: str, marks: str, water: str, time: str, name: str, who: int
) -> str:
    return (
        f"{when:<{_WHEN}}  {by:<{max(who, 3)}}  {headline:<{_HEADLINE}}  {marks:<{_MARKS}}"
        f"{water:>{_WATER}}  {time:>{_TIME}}  {name}"
    )
