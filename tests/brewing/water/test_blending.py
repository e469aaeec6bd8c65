import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pourcoach.brewing.water.blending import shares_towards
from pourcoach.brewing.water.water import DEMINERALISED, Water, blend
from pourcoach.domain.errors import UsageError

HARD = Water(hardness_mgl=200.0, alkalinity_mgl=160.0, sodium_mgl=20.0)
SOFT = Water(hardness_mgl=20.0, alkalinity_mgl=30.0, sodium_mgl=5.0)


@given(st.floats(0.0, 300.0), st.floats(0.0, 300.0), st.floats(0.0, 400.0))
def test_two_waters_and_one_aim_by_hand(one: float, other: float, aim: float) -> None:
    assume(abs(one - other) > 1.0)
    share, _ = shares_towards(
        [Water(alkalinity_mgl=one), Water(alkalinity_mgl=other)], {"alkalinity_mgl": aim}
    )
    assert share == pytest.approx(min(max((aim - other) / (one - other), 0.0), 1.0), abs=1e-4)


@given(st.floats(0.0, 200.0), st.floats(0.0, 200.0))
def test_shares_are_shares(hardness: float, alkalinity: float) -> None:
    aims = {"hardness_mgl": hardness, "alkalinity_mgl": alkalinity}
    shares = shares_towards([HARD, SOFT, DEMINERALISED], aims)
    assert sum(shares) == pytest.approx(1.0)
    assert all(0.0 <= share <= 1.0 for share in shares)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.01, 1.0))
def test_a_blend_of_them_is_found_again(a: float, b: float, c: float) -> None:
    made = blend([(HARD, a), (SOFT, b), (DEMINERALISED, c)])
    aims = {"hardness_mgl": made.hardness_mgl or 0.0, "alkalinity_mgl": made.alkalinity_mgl or 0.0}
    shares = shares_towards([HARD, SOFT, DEMINERALISED], aims)
    again = blend(list(zip([HARD, SOFT, DEMINERALISED], shares, strict=True)))
    assert again.hardness_mgl == pytest.approx(made.hardness_mgl, abs=0.05)
    assert again.alkalinity_mgl == pytest.approx(made.alkalinity_mgl, abs=0.05)


@pytest.mark.parametrize(
    ("waters", "aims", "says"),
    [
        ([HARD], {"alkalinity_mgl": 40.0}, "one water is no blend"),
        ([HARD, SOFT], {}, "nothing to solve"),
        ([HARD, SOFT], {"ph": 7.0}, "is no aim"),
        ([HARD, Water()], {"alkalinity_mgl": 40.0}, "alkalinity is unknown"),
    ],
)
def test_what_cannot_be_is_refused(waters: list[Water], aims: dict[str, float], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        shares_towards(waters, aims)
