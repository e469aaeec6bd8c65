"""Presses against what was wrong, and the size of the next fault."""

import json
from random import Random

import pytest

from pourcoach.practice.spotting.trial import (
    GRACE_S,
    LEVELS_DB,
    SpotKind,
    SpotThreshold,
    Trial,
    TrialPress,
    Window,
    score,
    times_limit,
)

QUIET = Window(0.0, 20.0)
STALL = Window(25.0, 27.0, SpotKind.STALL)
AFTER = Window(28.0, 50.0)
WINDOWS = (QUIET, STALL, AFTER)


def _trial(*presses: TrialPress, **changed: object) -> Trial:
    return Trial(WINDOWS, presses, **{"level_db": 3.0, **changed})  # type: ignore[arg-type]


def test_hits_misses_and_false_alarms_are_counted_by_stretch() -> None:
    seen = _trial(TrialPress(26.0, SpotKind.STALL))
    missed = _trial(TrialPress(10.0, SpotKind.SURGE), TrialPress(12.0, None))
    found = score([seen, missed])
    assert (found.hits, found.misses, found.false_alarms, found.quiet) == (1, 1, 1, 3)
    assert found.named_right == 1
    assert found.reaction_s == pytest.approx(1.0)
    assert found.sensitivity is not None


def test_a_late_press_is_a_hit_and_no_false_alarm_of_the_next_stage() -> None:
    found = score([_trial(TrialPress(29.0, SpotKind.STALL))])
    assert (found.hits, found.false_alarms) == (1, 0)
    too_late = score([_trial(TrialPress(27.1 + GRACE_S, SpotKind.STALL))])
    assert (too_late.hits, too_late.false_alarms) == (0, 1)


def test_played_faster_the_grace_is_longer_and_the_reaction_shorter() -> None:
    fast = _trial(TrialPress(27.1 + GRACE_S, SpotKind.STALL), speed=2.0)
    found = score([fast])
    assert found.hits == 1
    assert found.reaction_s == pytest.approx((2.1 + GRACE_S) / 2)


def test_a_fault_named_wrongly_is_seen_all_the_same() -> None:
    found = score([_trial(TrialPress(26.0, SpotKind.SURGE))])
    assert (found.hits, found.named_right) == (1, 0)


def test_without_trials_nothing_is_said_of_sensitivity() -> None:
    assert score([]).sensitivity is None
    assert score([]).reaction_s is None


def test_a_trial_is_kept_as_json_and_read_back() -> None:
    trial = _trial(TrialPress(26.0, SpotKind.STALL), TrialPress(40.0), simulated=False, speed=2.0)
    assert Trial.from_dict(json.loads(json.dumps(trial.as_dict()))) == trial


def test_what_is_seen_is_made_smaller_and_what_is_missed_larger() -> None:
    seen, missed = SpotThreshold(), SpotThreshold()
    first = seen.next_level_db
    for _ in range(4):
        seen.take(_trial(TrialPress(26.0), level_db=seen.next_level_db))
        missed.take(_trial(level_db=missed.next_level_db))
    assert seen.next_level_db < first < missed.next_level_db
    assert seen.next_level_db in LEVELS_DB


def test_recordings_without_an_ordered_size_teach_nothing() -> None:
    threshold = SpotThreshold([_trial(level_db=None)])
    assert threshold.threshold().trials == 0


def test_the_threshold_of_a_simulated_watcher_is_found() -> None:
    """Sees all from twice the limit on, and hardly anything below."""
    chance = Random(5)
    threshold = SpotThreshold()
    for _ in range(40):
        level_db = threshold.next_level_db
        sees = chance.random() < (0.95 if level_db > 6.0 else 0.05)
        threshold.take(_trial(*([TrialPress(26.0)] if sees else []), level_db=level_db))
    found = threshold.threshold()
    low, high = found.interval
    assert low < 6.0 < high + 1.5
    assert times_limit(found.mean) == pytest.approx(2.0, rel=0.35)
