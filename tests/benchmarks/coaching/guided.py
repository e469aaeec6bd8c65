"""A simulated hand in the loop: it hears what the program says, when it would be on the screen."""

from collections.abc import Iterator

from pourcoach.domain.advice import Cue, Word, usual_cue
from pourcoach.domain.frame import Frame
from pourcoach.pipeline import Pipeline
from pourcoach.simulation.brew import SimulatedBrew

STEP_S = 0.01
DISPLAY_S = 0.05
"""From a Frame to light: what a screen drawn 20 times a second costs at most."""


def guided(brew: SimulatedBrew, pipeline: Pipeline, until_s: float) -> Iterator[Frame]:
    """Run a brew with the screen in the hand's sight; every Frame as it comes.

    As on the real screen, STOP comes up by a timer when no reading comes first.
    """
    on_screen: list[tuple[float, Cue]] = []
    latest: Cue | None = None
    step = 0
    while not brew.over and step * STEP_S < until_s:
        t_s = step * STEP_S
        for reading in brew.advance_to(t_s):
            frame = pipeline.feed(reading)
            latest = frame.cue
            on_screen.append((frame.t_s + DISPLAY_S, latest))
            yield frame
        if latest is not None and latest.stop_due_s is not None and latest.stop_due_s <= t_s:
            latest = usual_cue(Word.STOP, latest.stop_due_s)
            on_screen.append((latest.since_s + DISPLAY_S, latest))
        while on_screen and on_screen[0][0] <= t_s:
            brew.hear(on_screen.pop(0)[1], t_s)
        step += 1
