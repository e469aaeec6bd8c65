import itertools

import pytest
from scipy import stats

from pourcoach.domain.errors import UsageError
from pourcoach.tasting.method import Method
from pourcoach.tasting.result import difference_result, least_to_find, power

# The least number of right answers for n up to 60, in a code: the first n at which there is one,
# that number, then by how much it grows with each further n. The triangle rows agree with the
# table of ISO 4120, the others with ISO 10399 table A.1 and the tables of ISO 5495.
LEAST_TO_FIND = [
    (Method.TRIANGLE, False, 0.05, 6, 5, "010101010010101001010100101001010010010100101001010010"),
    (Method.TRIANGLE, False, 0.01, 6, 6, "010101010101010101001010100101010010101001010010100101"),
    (Method.TRIANGLE, False, 0.001, 7, 7, "10110101010101010101010101010010101010100101010010101"),
    (Method.DUO_TRIO, False, 0.05, 6, 6, "101101011010110101101010110101011010101101010101101010"),
    (Method.DUO_TRIO, False, 0.01, 7, 7, "11101101101011011010110110101101010110101101010110101"),
    (Method.PAIRED, False, 0.001, 10, 10, "11101110110110110110110101101101011011010110101101"),
    (Method.PAIRED, True, 0.05, 6, 6, "110110110101101101011010110101011010101101010110101011"),
    (Method.PAIRED, True, 0.01, 8, 8, "1110110110110110101101101011010110101101011010110101"),
    (Method.PAIRED, True, 0.001, 11, 11, "1110111011011011011011011011010110110101101101011"),
]


@pytest.mark.parametrize(
    ("method", "two_sided", "alpha", "first_n", "first_k", "steps"), LEAST_TO_FIND
)
def test_the_least_right_answers_are_those_of_the_standards_tables(
    method: Method, two_sided: bool, alpha: float, first_n: int, first_k: int, steps: str
) -> None:
    expected = list(itertools.accumulate((first_k, *map(int, steps))))
    actual = [
        least_to_find(method, n, alpha=alpha, two_sided=two_sided)
        for n in range(first_n, first_n + len(expected))
    ]
    assert first_n + len(expected) - 1 == 60
    assert expected == actual


def test_iso_5495_example_one_sided() -> None:
    """ISO 5495:2005/Amd 1:2016: 21 of 30, pd 0.40, its error 0.167, lower 95 % limit 0.125."""
    found = difference_result(Method.PAIRED, 21, 30)
    assert (found.pd, found.pd_error) == pytest.approx((0.40, 0.167), abs=5e-4)
    assert found.pd - 1.645 * found.pd_error == pytest.approx(0.125, abs=1e-3)
    assert found.p_value == pytest.approx(0.0214, abs=5e-5)
    assert found.found


def test_iso_5495_example_two_sided() -> None:
    """ISO 5495:2005/Amd 1:2016: 32 of 44, pd 0.45 (error 0.134), normal limits 0.19, 0.71."""
    found = difference_result(Method.PAIRED, 32, 44, two_sided=True)
    assert (found.pd, found.pd_error) == pytest.approx((0.45, 0.134), abs=6e-3)
    assert found.pd - 1.96 * found.pd_error == pytest.approx(0.19, abs=5e-3)
    assert found.pd + 1.96 * found.pd_error == pytest.approx(0.71, abs=1e-2)
    assert found.p_value == pytest.approx(0.0037, abs=5e-5)


@pytest.mark.parametrize(
    ("method", "p_value", "pd", "pd_error"),
    [(Method.TRIANGLE, 0.00850, 0.5, 0.1826), (Method.DUO_TRIO, 0.1509, 0.3333, 0.2434)],
)
def test_ten_of_fifteen(method: Method, p_value: float, pd: float, pd_error: float) -> None:
    """The printed example of the package sensR, ``discrim(10, 15)``."""
    found = difference_result(method, 10, 15)
    assert found.p_value == pytest.approx(p_value, abs=5e-5)
    assert (found.pd, found.pd_error) == pytest.approx((pd, pd_error), abs=5e-5)


def test_the_upper_limit_of_sensr_for_ten_of_fifteen() -> None:
    assert difference_result(Method.DUO_TRIO, 10, 15).pd_high == pytest.approx(0.7635, abs=5e-5)


@pytest.mark.parametrize("method", Method)
@pytest.mark.parametrize("of", [1, 7, 24, 150])
def test_probabilities_and_limits_agree_with_scipy(method: Method, of: int) -> None:
    for correct in {0, 1, of // 2, of - 1, of}:
        expected = stats.binomtest(correct, of, method.chance, alternative="greater").pvalue
        found = difference_result(method, correct, of)
        assert found.p_value == pytest.approx(expected, rel=1e-9)
        limits = stats.binomtest(correct, of).proportion_ci(0.95, "exact")
        mapped = [max(0.0, (x - method.chance) / (1 - method.chance)) for x in limits]
        assert [found.pd_low, found.pd_high] == pytest.approx(mapped, abs=1e-9)


@pytest.mark.parametrize("correct", [0, 3, 10, 15, 19, 20])
def test_a_two_sided_probability_agrees_with_scipy(correct: int) -> None:
    found = difference_result(Method.PAIRED, correct, 20, two_sided=True)
    assert found.p_value == pytest.approx(stats.binomtest(correct, 20, 0.5).pvalue, rel=1e-9)


# The first n that reaches a power, and the n from which it stays there (power is a saw-tooth);
# computed with scipy's binomial distribution, the first of the triangle at 0.4 printed by sensR.
TASTERS_NEEDED = [
    (Method.TRIANGLE, 0.3, 0.8, 40, 42),
    (Method.TRIANGLE, 0.4, 0.8, 23, 25),
    (Method.TRIANGLE, 0.5, 0.9, 20, 22),
    (Method.DUO_TRIO, 0.3, 0.8, 69, 76),
    (Method.DUO_TRIO, 0.4, 0.9, 53, 58),
    (Method.DUO_TRIO, 0.5, 0.8, 23, 28),
]


@pytest.mark.parametrize(("method", "pd", "wanted", "first", "stays"), TASTERS_NEEDED)
def test_power_by_number_of_tasters(
    method: Method, pd: float, wanted: float, first: int, stays: int
) -> None:
    reaches = [n for n in range(1, 120) if power(method, n, pd) >= wanted]
    assert reaches[0] == first
    assert set(range(stays, 120)) <= set(reaches)
    assert stays - 1 not in reaches or stays == first


def test_a_large_test_is_worked_out_at_once() -> None:
    found = difference_result(Method.TRIANGLE, 3500, 10_000)
    expected = stats.binomtest(3500, 10_000, 1 / 3, alternative="greater").pvalue
    assert found.p_value == pytest.approx(expected, rel=1e-6)
    needed = found.needed or 0
    assert (
        stats.binom.sf(needed - 1, 10_000, 1 / 3)
        <= 0.05
        < stats.binom.sf(needed - 2, 10_000, 1 / 3)
    )


def test_too_few_to_find_anything() -> None:
    found = difference_result(Method.TRIANGLE, 2, 2)
    assert found.needed is None
    assert set(found.power_at_pd.values()) == {0.0}
    assert not found.found


@pytest.mark.parametrize(("correct", "of"), [(5, 2), (-1, 3), (0, 0), (1, 10_001)])
def test_numbers_that_no_test_gives_are_refused(correct: int, of: int) -> None:
    with pytest.raises(UsageError):
        difference_result(Method.TRIANGLE, correct, of)


def test_only_a_paired_comparison_has_two_sides() -> None:
    with pytest.raises(UsageError, match="one right answer"):
        difference_result(Method.TRIANGLE, 5, 6, two_sided=True)
