"""What to practise next, with the reason in figures."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from pourcoach.practice.course import DueTest
from pourcoach.practice.progress.progress import DrillProgress


class Because(Enum):
    """Why it is this drill's turn."""

    TEST_DUE = "test due"
    NEVER = "never practised"
    MOST_OFF = "most off"
    """Its test errors are the largest beside its band."""
    UNTESTED = "untested"


@dataclass(frozen=True, slots=True)
class NextDrill:
    """A drill and the figure that speaks for it."""

    drill: str
    because: Because
    figure: float | None = None
    """MOST_OFF: root mean square error in bands of the drill."""


def next_drill(
    order: Sequence[str],
    found: Sequence[DrillProgress],
    bands: dict[str, float],
    due: dict[str, DueTest],
) -> NextDrill | None:
    """``order`` is that of learning, ``bands`` half the width of each drill's leading one, ``due``
    the tests that may be made now. None where there is no drill.
    """
    for name in order:
        if name in due:
            return NextDrill(name, Because.TEST_DUE)
    tested = {
        each.drill: each.error / bands[each.drill]
        for each in found
        if each.error is not None and each.drill in bands
    }
    worst = max(tested, key=lambda name: tested[name], default=None)
    if worst is not None and tested[worst] > 1.0:
        return NextDrill(worst, Because.MOST_OFF, tested[worst])
    begun = {each.drill for each in found}
    for name in order:
        if name in begun and name not in tested:
            return NextDrill(name, Because.UNTESTED)
    for name in order:
        if name not in begun:
            return NextDrill(name, Because.NEVER)
    return None if worst is None else NextDrill(worst, Because.MOST_OFF, tested[worst])
