import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.weighing.loads.verification import AccuracyClass, Yardstick, yardstick_for

II, III = AccuracyClass.II, AccuracyClass.III

# OIML R 76-1:2006, table 6, worked for an interval of 0.1 g: both sides of each border.
LIMITS = [
    (III, 0.1, 0.0, 0.05),
    (III, 0.1, 20.0, 0.05),
    (III, 0.1, 50.0, 0.05),
    (III, 0.1, 50.1, 0.10),
    (III, 0.1, 200.0, 0.10),
    (III, 0.1, 200.1, 0.15),
    (III, 0.1, 1000.0, 0.15),
    (III, 1.0, 500.0, 0.5),
    (III, 1.0, 501.0, 1.0),
    (II, 0.01, 50.0, 0.005),
    (II, 0.01, 50.01, 0.01),
    (II, 0.01, 200.0, 0.01),
    (II, 0.01, 200.01, 0.015),
    (II, 0.01, 1000.0, 0.015),
]


@pytest.mark.parametrize(("accuracy", "interval_g", "load_g", "limit_g"), LIMITS)
def test_limits_on_both_sides_of_each_border(accuracy, interval_g, load_g, limit_g):
    new = Yardstick(interval_g, 1000.0, accuracy, in_service=False)
    used = Yardstick(interval_g, 1000.0, accuracy, in_service=True)
    assert new.limit_g(load_g) == pytest.approx(limit_g, rel=1e-12)
    assert used.limit_g(load_g) == pytest.approx(2 * limit_g, rel=1e-12)
    assert new.limit_g(-load_g) == new.limit_g(load_g)


# Table 3: interval, capacity, whether a scale of that class can have them.
CLASSES = [
    (III, 0.1, 1000.0, True),
    (III, 0.1, 1000.1, False),
    (III, 0.1, 2000.0, False),
    (III, 0.1, 10.0, True),
    (III, 0.1, 9.9, False),
    (III, 0.09, 500.0, False),
    (III, 2.0, 20000.0, True),
    (II, 0.1, 2000.0, True),
    (II, 0.1, 500.0, True),
    (II, 0.1, 499.9, False),
    (II, 0.01, 1000.0, True),
    (II, 0.01, 1000.1, False),
    (II, 0.01, 1.0, True),
    (II, 0.01, 0.99, False),
]


@pytest.mark.parametrize(("accuracy", "interval_g", "capacity_g", "allowed"), CLASSES)
def test_which_scales_a_class_allows(accuracy, interval_g, capacity_g, allowed):
    assert (Yardstick(interval_g, capacity_g, accuracy).class_fault() is None) is allowed


def test_the_loosest_class_that_allows_the_scale_is_taken():
    assert yardstick_for(0.1, 1000.0).accuracy is III
    assert yardstick_for(0.1, 2000.0).accuracy is II
    assert yardstick_for(0.01, 1000.0).accuracy is II
    assert yardstick_for(0.1, 1000.0).in_service is True


@pytest.mark.parametrize(("interval_g", "capacity_g"), [(0.0, 1000.0), (0.1, -1.0)])
def test_an_impossible_yardstick_is_refused(interval_g, capacity_g):
    with pytest.raises(UsageError, match="makes no sense"):
        yardstick_for(interval_g, capacity_g)
