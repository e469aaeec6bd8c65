import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.water.conductivity import dissolved_solids_mgl
from pourcoach.domain.errors import UsageError


# As printed in two meter makers' manuals (azmanual.top/manuals/404644 is one of them).
@pytest.mark.parametrize(
    ("scale", "us_cm", "mgl"),
    [
        ("442", 84, 50.50),
        ("442", 447, 300),
        ("442", 1413, 1000),
        ("442", 1500, 1050),
        ("kcl", 1413, 744.7),
        ("nacl", 1413, 702.1),
    ],
)
def test_reference_solutions(scale: str, us_cm: float, mgl: float) -> None:
    assert dissolved_solids_mgl(us_cm, scale)[0] == pytest.approx(mgl, rel=0.01)


def test_a_meter_on_half_reads_29_per_cent_lower_than_one_on_seven_tenths() -> None:
    low, _ = dissolved_solids_mgl(300, "0.5")
    high, _ = dissolved_solids_mgl(300, "0.7")
    assert low / high == pytest.approx(1 - 0.286, abs=0.001)


@given(st.floats(0.0, 5000.0), st.floats(0.1, 100.0))
def test_more_conductivity_is_more_solids(us_cm: float, more: float) -> None:
    assert dissolved_solids_mgl(us_cm + more, "442")[0] > dissolved_solids_mgl(us_cm, "442")[0]


def test_the_working_states_the_factor() -> None:
    _, working = dissolved_solids_mgl(300, "0.65")
    assert working.put_in == "0.650 × 300 µS/cm = 195 mg/L"
    assert working.source == "the factor stated"


@pytest.mark.parametrize("scale", ["", "usual", "0.1", "7", "nan"])
def test_an_unstated_or_impossible_scale_is_refused(scale: str) -> None:
    with pytest.raises(UsageError, match="no conductivity scale"):
        dissolved_solids_mgl(300, scale)


@pytest.mark.parametrize("us_cm", [-1.0, 50_000.0, float("nan")])
def test_an_impossible_conductivity_is_refused(us_cm: float) -> None:
    with pytest.raises(UsageError, match="no brew water"):
        dissolved_solids_mgl(us_cm, "442")
