"""A tape judged whole: what comes long after the brew costs nothing and changes nothing."""

from pathlib import Path

import pytest

from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Finish, Input, Note, Reading, Undo
from pourcoach.domain.pour import Ending, Phase
from pourcoach.recordings.fold import SETTLED_S, final_frame, judged_tape
from pourcoach.recordings.tape import Tape, read_tape
from pourcoach.recordings.whole_tape import write_tape
from tests.recordings.test_shipped import RECORDINGS

LEFT_ON_S = 400.0


def left_on(folder: Path, *later: Input, before: float = float("inf")) -> tuple[Path, Tape]:
    """The steady brew up to a time, the scale then left on, with water again."""
    brew = read_tape(RECORDINGS / "steady.jsonl")
    inputs = [item for item in brew.inputs if item.t_s <= before]
    newest = next(item for item in reversed(inputs) if isinstance(item, Reading))
    begin_s = inputs[-1].t_s
    rest = [
        Reading(round(begin_s + n / 10, 4), newest.grams + max(0.0, min(200.0, n / 2 - 1200.0)))
        for n in range(1, round(10 * LEFT_ON_S))
    ]
    inputs += sorted([*rest, *later], key=lambda item: item.t_s)
    tape = Tape(brew.header, tuple(inputs), begin_s + LEFT_ON_S)
    path = folder / "left-on.jsonl"
    write_tape(path, tape)
    return path, read_tape(path)


def of_the_brew(frame: Frame | None) -> tuple[object, ...]:
    assert frame is not None
    return frame.pour, frame.flags, frame.risk, frame.moments, frame.t_s


def test_readings_long_after_the_brew_are_passed_over_and_notes_are_not(tmp_path: Path) -> None:
    path, tape = left_on(tmp_path, Note(500.0, "the cup was good"))
    seen: list[Frame] = []
    judged = judged_tape(path, watch=seen.append)
    assert of_the_brew(judged.last) == of_the_brew(final_frame(tape))
    assert judged.last is not None
    assert judged.last.pour.ending is Ending.LIFTED
    over_s = next(frame.t_s for frame in seen if frame.pour.phase is Phase.DONE)
    late = [frame.t_s for frame in seen if frame.t_s > over_s + SETTLED_S]
    assert late == [500.0, tape.end_s]


@pytest.mark.parametrize("undo_s", [153.0, 153.0 + 2 * SETTLED_S])
def test_a_brew_opened_again_is_judged_with_all_its_readings(tmp_path: Path, undo_s: float) -> None:
    path, tape = left_on(tmp_path, Finish(150.0), Undo(undo_s), before=149.0)
    assert of_the_brew(judged_tape(path).last) == of_the_brew(final_frame(tape))
