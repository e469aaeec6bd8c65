from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.domain.errors import UsageError
from pourcoach.tasting.method import Method
from pourcoach.tasting.serving import deal


@given(st.sampled_from(Method), st.integers(1, 60), st.integers(0, 2**32 - 1))
def test_orders_are_balanced_and_no_code_comes_twice(
    method: Method, tasters: int, seed: int
) -> None:
    sheets = deal(method, tasters, seed)
    orders = Counter(f"{sheet.reference}:{sheet.order}" for sheet in sheets)
    counts = [orders[order if ":" in order else f"None:{order}"] for order in method.orders]
    assert sum(counts) == tasters
    assert max(counts) - min(counts) <= 1
    codes = [code for sheet in sheets for code in sheet.codes]
    assert len(codes) == len(set(codes))
    assert all(len(code) == 3 and code.isdecimal() and code[0] != "0" for code in codes)
    assert all(len(sheet.codes) == len(sheet.order) for sheet in sheets)


def test_a_seed_deals_the_same_for_ever() -> None:
    first, second = deal(Method.TRIANGLE, 2, 7)
    assert (first.order, first.codes) == ("ABA", ("652", "827", "999"))
    assert (second.order, second.codes) == ("BBA", ("701", "237", "167"))
    assert deal(Method.TRIANGLE, 2, 8) != (first, second)


def test_many_tasters_use_codes_again_but_none_has_one_twice() -> None:
    sheets = deal(Method.TRIANGLE, 1000, 1)
    assert all(len(set(sheet.codes)) == 3 for sheet in sheets)


@pytest.mark.parametrize("tasters", [0, -1, 1001])
def test_tasters_that_cannot_be_served_are_refused(tasters: int) -> None:
    with pytest.raises(UsageError):
        deal(Method.PAIRED, tasters, 1)


def test_a_code_names_its_sample() -> None:
    (sheet,) = deal(Method.DUO_TRIO, 1, 3)
    assert [sheet.sample(code) for code in sheet.codes] == list(sheet.order)
    assert sheet.sample("000") is None
    assert sheet.reference in ("A", "B")
