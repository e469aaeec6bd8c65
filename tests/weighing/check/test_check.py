"""A whole check: record to figures to words."""

import json
import random
import re
from dataclasses import replace

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.weighing.check.abilities import abilities
from pourcoach.weighing.check.check import judge_scale
from pourcoach.weighing.check.check_record import CheckRecord
from pourcoach.weighing.check.judging_accuracy import JudgingAccuracy
from pourcoach.weighing.figures.eccentricity import PLACES
from pourcoach.weighing.figures.finding import Bearing
from pourcoach.weighing.loads.known_load import KnownLoad
from tests.weighing.readings import readings

GOOD = CheckRecord(
    scale="serial:COM3",
    made_at="2026-01-15T09:30:00+00:00",
    still=tuple(readings(20, 0.0, hz=80, noise_g=0.03)),
    loads=tuple(KnownLoad(g, g + 0.02, 0.03, 160, 0.01) for g in (0, 100, 200, 500)),
    repeats=tuple(KnownLoad(200, 200 + off, 0.03, 160, 0.01) for off in (0, 0.01, 0.02)),
    places={place: KnownLoad(200, 200.03, known_to_g=0.01) for place in PLACES},
    small=(KnownLoad(100, 100.0), KnownLoad(100.14, 100.14)),
    held=tuple(readings(240, 500.0, hz=10, noise_g=0.03)),
    zero_before=KnownLoad(0, 0.0),
    zero_after=KnownLoad(0, 0.01),
    lifted=(tuple(readings(3, lambda t: 200.0 if t < 1 else 0.0, hz=80)),),
)
KEEN = JudgingAccuracy(20, 0.01, 0.001, 0.03, 10.0)


def said(record: CheckRecord, accuracy: JudgingAccuracy | None = KEEN) -> dict[Bearing, str]:
    sentences = abilities(judge_scale(record), accuracy)
    return {
        bearing: " | ".join(one.text for one in sentences if one.bearing is bearing)
        for bearing in Bearing
    }


def test_a_record_survives_json():
    assert CheckRecord.from_dict(json.loads(json.dumps(GOOD.as_dict()))) == GOOD


@pytest.mark.parametrize("left_out", ["zero_before", "zero_after"])
def test_a_zero_seen_once_has_no_return(left_out: str) -> None:
    assert judge_scale(GOOD).zero_return is not None
    assert judge_scale(replace(GOOD, **{left_out: None})).zero_return is None


BROKEN = [
    ({}, "no record of a check"),
    ({"pourcoach_check": 2}, "pourcoach_check is 2; this program reads version 1"),
    ({"pourcoach_check": 1, "loads": [{"true_g": "x"}]}, r"loads\[1\]\.true_g is 'x'"),
    (
        {"pourcoach_check": 1, "loads": [{"true_g": 1, "shown": float("nan")}]},
        "shown is nan",
    ),
    (
        {"pourcoach_check": 1, "loads": [{"true_g": 1, "shown": 1, "readings": 0}]},
        "readings is 0",
    ),
    ({"pourcoach_check": 1, "loads": [{"true_g": 1, "shown": 1e300}]}, "shown is 1e"),
    ({"pourcoach_check": 1, "still": [[0.0, 1e300]]}, "no number"),
    ({"pourcoach_check": 1, "still": [[0, 1, 2, float("inf")]]}, "no list of readings"),
    ({"pourcoach_check": 1, "still": [[0, float("inf")]]}, "no number"),
    ({"pourcoach_check": 1, "loads": 5}, "loads is 5"),
    ({"pourcoach_check": 1, "still": 5}, "still is no list"),
    ({"pourcoach_check": 1, "still": [[1]]}, "no list of readings"),
    ({"pourcoach_check": 1, "still": [[2, 0], [1, 0]]}, "out of order"),
    ({"pourcoach_check": 1, "places": {"left": {}}}, "places.left is no place; use "),
    ({"pourcoach_check": 1, "small": [{"true_g": 1, "shown": 1}]}, "not two weighings"),
    (
        {"pourcoach_check": 1, "interval_g": "0.1"},
        "interval_g is .0.1.; make it a number, in grams",
    ),
    ({"pourcoach_check": 1, "presses_s": ["a"]}, "presses_s is 'a'"),
]


@pytest.mark.parametrize(("data", "words"), BROKEN, ids=[words for _, words in BROKEN])
def test_a_broken_record_is_refused_with_what_is_wrong(data, words):
    with pytest.raises(UsageError, match=words):
        CheckRecord.from_dict(data)


def test_a_good_scale_passes_every_test():
    check = judge_scale(GOOD)
    for name in ("linearity", "repeatability", "eccentricity", "discrimination", "creep"):
        assert getattr(check, name).within, name
    assert check.zero_return.within
    assert check.faults == ()
    assert check.coarse_loads == ()
    # 200.03 in each place, with an empty scale at 0.02.
    assert check.worst_error_g == pytest.approx(0.01)


def test_corners_without_an_empty_scale_are_as_shown():
    weighed = tuple(load for load in GOOD.loads if load.true_g)
    check = judge_scale(replace(GOOD, loads=weighed, still=()))
    assert check.eccentricity.errors_g == pytest.approx(dict.fromkeys(PLACES, 0.03))


def test_a_good_scale_is_described_by_what_it_can():
    words = said(GOOD)
    assert "tell a stage that lands 5 g off" in words[Bearing.CAN]
    # 0.20 and 1.645 standard errors of 0.01 more.
    assert "surely from 0.22 on" in words[Bearing.CAN]
    assert words[Bearing.CANNOT] == ""
    assert words[Bearing.DO] == ""


def test_tests_left_out_are_none_and_no_fault():
    check = judge_scale(CheckRecord("x"))
    assert check.rest is check.pace is check.linearity is check.delay is None
    assert check.faults == ()
    assert "no known load was weighed" in said(CheckRecord("x"), None)[Bearing.CANNOT]


def test_one_test_that_cannot_be_judged_stops_no_other():
    check = judge_scale(replace(GOOD, repeats=GOOD.repeats[:2], held=GOOD.held[:10]))
    assert check.repeatability is check.creep is None
    assert len(check.faults) == 2
    assert check.linearity.within


PRESSES = tuple(2.0 * number for number in range(1, 8))


def pressed(late_s: float):
    """A finger on the platform for half a second each time, the readings late."""
    return tuple(
        readings(
            17,
            lambda t: 400.0 if any(0 <= t - late_s - press < 0.5 for press in PRESSES) else 0.0,
            hz=80,
            noise_g=0.03,
        )
    )


def jittered(hz: float, seed: int = 3):
    chance = random.Random(seed)
    even = readings(20, 0.0, hz=hz, noise_g=0.03)
    late = [replace(one, t_s=one.t_s + chance.uniform(0, 0.08)) for one in even]
    return tuple(sorted(late, key=lambda one: one.t_s))


def numbered(lost: int):
    even = readings(20, 0.0, hz=80, noise_g=0.03)
    kept = [replace(one, sequence=number, device_s=one.t_s) for number, one in enumerate(even)]
    return tuple(kept[:50] + kept[50 + lost :])


POOR = [
    (
        replace(GOOD, presses_s=PRESSES, pressed=pressed(0.25)),
        KEEN,
        Bearing.CANNOT,
        r"readings come 2[45]\d ms late .*, 1\.5 g at 6 g/s",
    ),
    (
        replace(GOOD, presses_s=PRESSES, pressed=pressed(0.25)),
        KEEN,
        Bearing.DO,
        r"set the delay of the scale to 0\.2[45] s",
    ),
    (
        replace(GOOD, presses_s=PRESSES, pressed=pressed(0.03)),
        KEEN,
        Bearing.CAN,
        r"be poured by: readings come [23]\d ms late",
    ),
    (replace(GOOD, still=jittered(10)), KEEN, Bearing.CANNOT, r"\d\d ms off their beat"),
    (replace(GOOD, still=numbered(7)), KEEN, Bearing.CANNOT, "7 were lost on the way"),
    (
        replace(GOOD, held=tuple(readings(240, lambda t: 500 + t / 1000, hz=10))),
        KEEN,
        Bearing.DO,
        r"moved \+0\.2\d g in 4 min",
    ),
    (
        replace(GOOD, loads=tuple(KnownLoad(g, 1.02 * g) for g in (0, 200, 500))),
        KEEN,
        Bearing.CANNOT,
        "tell whether a stage has landed: it errs by 10.0 g",
    ),
    (
        replace(GOOD, loads=tuple(KnownLoad(g, 1.004 * g, known_to_g=0.01) for g in (0, 200, 500))),
        KEEN,
        Bearing.DO,
        r"calibrate it: its span is off by \+0.40 %",
    ),
    (
        replace(
            GOOD,
            loads=tuple(KnownLoad(g, shown) for g, shown in [(0, 0), (200, 205), (500, 500)]),
        ),
        KEEN,
        Bearing.DO,
        "look for what touches the platform",
    ),
    (GOOD, JudgingAccuracy(20, 0.06, 0.0, 0.1, 10.0), Bearing.CANNOT, "judge evenness"),
    (
        replace(GOOD, still=tuple(readings(20, 0.0, hz=5, noise_g=0.03))),
        KEEN,
        Bearing.CANNOT,
        "show short surges and stalls: 5.0 readings",
    ),
    (
        replace(GOOD, repeats=tuple(KnownLoad(200, shown) for shown in (200, 201, 202))),
        KEEN,
        Bearing.CANNOT,
        "spread over 2.00 g",
    ),
    (
        replace(GOOD, zero_after=KnownLoad(0, 0.3)),
        KEEN,
        Bearing.DO,
        r"zero came back \+0.30 g off",
    ),
    (
        replace(GOOD, repeats=tuple(KnownLoad(200, 200.0, known_to_g=0.1) for _ in range(3))),
        KEEN,
        Bearing.DO,
        "use better weights: 200 g is known to 0.1 g only",
    ),
]


@pytest.mark.parametrize(("record", "accuracy", "bearing", "words"), POOR)
def test_what_is_wrong_is_said(record, accuracy, bearing, words):
    assert re.search(words, said(record, accuracy)[bearing])
