import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.weighing.loads.standard_weight import suits, weight_tolerance_g
from pourcoach.weighing.loads.verification import Yardstick

# OIML R 111-1 tolerances and OIML R 76-1's third: a new class III scale of 0.1 g may err by
# 0.05 g to 50 g, 0.10 g to 200 g, 0.15 g beyond.
CASES = [
    ("M1", 500, 0.025, True),
    ("M2", 500, 0.080, False),
    ("M1", 200, 0.010, True),
    ("M2", 200, 0.030, True),
    ("M3", 200, 0.100, False),
    ("M1", 100, 0.005, True),
    ("M2", 100, 0.016, True),
    ("M3", 100, 0.050, False),
]


@pytest.mark.parametrize(("weight_class", "nominal_g", "error_g", "suited"), CASES)
def test_a_weight_errs_by_a_third_of_the_limit_at_most(weight_class, nominal_g, error_g, suited):
    limit_g = Yardstick(0.1, 1000.0, in_service=False).limit_g(nominal_g)
    assert weight_tolerance_g(weight_class, nominal_g) == pytest.approx(error_g)
    assert suits(weight_tolerance_g(weight_class, nominal_g), limit_g) is suited


@pytest.mark.parametrize(("weight_class", "nominal_g"), [("M9", 100), ("M1", 123)])
def test_what_is_not_tabled_is_refused(weight_class, nominal_g):
    with pytest.raises(UsageError):
        weight_tolerance_g(weight_class, nominal_g)


def test_a_better_class_and_a_lighter_weight_err_less():
    for nominal_g in (1, 20, 500, 2000):
        errors = [weight_tolerance_g(name, nominal_g) for name in ("M1", "M2", "M3")]
        assert errors == sorted(errors)
