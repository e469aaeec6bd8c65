from dataclasses import replace

import pytest

from pourcoach.weighing.check.check import judge_scale
from pourcoach.weighing.check.check_record import CheckRecord
from pourcoach.weighing.check.fitness import Use, fitness, fitness_headline, good_enough
from pourcoach.weighing.check.judging_accuracy import JudgingAccuracy
from pourcoach.weighing.loads.known_load import KnownLoad
from tests.weighing.check.test_check import GOOD, KEEN, PRESSES, pressed
from tests.weighing.readings import readings

BLUNT = JudgingAccuracy(20, 0.09, 0.001, 0.03, 10.0)


def fit(record: CheckRecord, accuracy: JudgingAccuracy | None = KEEN) -> dict[Use, bool | None]:
    return fitness(judge_scale(record), accuracy)


def test_a_good_scale_is_good_enough_for_all():
    assert fit(GOOD) == {Use.TOTALS: True, Use.EVENNESS: True, Use.SPEED: True}
    assert good_enough(fit(GOOD))
    assert fitness_headline(fit(GOOD)) == (
        "GOOD ENOUGH for weighing what is poured, judging how even a pour is and showing stalls "
        "and surges as they happen."
    )


POOR = [
    (replace(GOOD, loads=(KnownLoad(0, 0.0), KnownLoad(500, 504.0))), KEEN, Use.TOTALS),
    (replace(GOOD, repeats=tuple(KnownLoad(200, 200 + g) for g in (0, 3, 1))), KEEN, Use.TOTALS),
    (GOOD, BLUNT, Use.EVENNESS),
    (replace(GOOD, still=tuple(readings(20, 0.0, hz=4, noise_g=0.03))), KEEN, Use.SPEED),
    (replace(GOOD, presses_s=PRESSES, pressed=pressed(0.25)), KEEN, Use.SPEED),
]


@pytest.mark.parametrize(("record", "accuracy", "use"), POOR)
def test_a_poor_scale_is_not_good_enough_for_what_it_is_poor_at(record, accuracy, use):
    found = fit(record, accuracy)
    assert [one for one, good in found.items() if good is False] == [use]
    assert not good_enough(found)
    assert f"NOT GOOD ENOUGH for {use.value}" in fitness_headline(found)


def test_what_was_not_tested_is_neither():
    found = fit(CheckRecord("x"), None)
    assert set(found.values()) == {None}
    assert not good_enough(found)
    assert fitness_headline(found).startswith("Not tested for weighing what is poured, judging")
