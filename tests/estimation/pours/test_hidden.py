"""Water that came unseen: its mass is known, when it ran is worked out from the flow."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from pourcoach.domain.inputs import Reading
from pourcoach.domain.pour import Pour, Unjudged
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.pours.hidden import Hidden, began_hidden, ended_hidden
from pourcoach.estimation.pours.pour_log import PourLog
from pourcoach.estimation.pours.record import Record

Array = NDArray[np.float64]


def test_a_pour_that_began_and_ended_unseen_lies_in_the_middle() -> None:
    hidden = Hidden(10.0, 20.0, 5.0, 22.0, opens=True)
    pour = ended_hidden(Pour(start_s=10.0, start_g=5.0), hidden, 27.0)
    assert (pour.start_s, pour.end_s) == pytest.approx((13.0, 17.0))
    assert (pour.mass_g, pour.flow_cv) == (22.0, None)
    assert pour.refined


def test_a_pour_that_ended_unseen_went_on_at_its_flow() -> None:
    hidden = Hidden(14.0, 20.0, 20.0, 10.0, opens=False)
    pour = ended_hidden(Pour(start_s=10.0, start_g=0.0), hidden, 30.0)
    assert (pour.start_s, pour.end_s) == pytest.approx((10.0, 16.0))


def test_a_pour_that_began_unseen_began_at_its_flow() -> None:
    hidden = Hidden(10.0, 20.0, 0.0, 10.0, opens=True)
    assert began_hidden(Pour(start_s=10.0, start_g=0.0), hidden, 5.0).start_s == pytest.approx(18.0)
    assert began_hidden(Pour(start_s=10.0, start_g=0.0), hidden, 0.1).start_s == pytest.approx(10.0)


@pytest.mark.parametrize(("end_s", "inside"), [(19.0, True), (20.3, True), (21.0, False)])
def test_an_end_right_after_the_stretch_lies_in_it(end_s: float, inside: bool) -> None:
    assert Hidden(10.0, 20.0, 3.0, 5.0, opens=False).ends_in(end_s) is inside


def read_but_for(from_s: float, to_s: float, weight: Callable[[Array], Array]) -> tuple[Pour, ...]:
    """The pours in 60 s of readings, 20 a second, of which none comes between these moments."""
    times_s = np.arange(0.0, 60.0, 0.05)
    grams = weight(times_s) + 0.05 * np.random.default_rng(4).standard_normal(len(times_s))
    estimator = Estimator()
    for t_s, g in zip(times_s.tolist(), grams.tolist(), strict=True):
        if not from_s < t_s < to_s:
            estimator.feed(Reading(t_s, g))
    return estimator.close(60.0).pours


def two_pours(times_s: Array) -> Array:
    """From 5 to 20 s, and from 32 to 50 s, at 4 g/s."""
    water: Array = 4.0 * (np.clip(times_s, 5.0, 20.0) - 5.0 + np.clip(times_s, 32.0, 50.0) - 32.0)
    return water


def one_pour(times_s: Array) -> Array:
    """From 5 to 50 s at 4 g/s."""
    water: Array = 4.0 * (np.clip(times_s, 5.0, 50.0) - 5.0)
    return water


@pytest.mark.parametrize("from_s", [18.0, 19.0, 20.3])
def test_water_that_brought_too_little_while_unseen_had_stopped(from_s: float) -> None:
    """It ran before the stretch and ran again after it, 14 s later: as one pour the bloom ended
    three seconds into the stretch, and its wait was called too short."""
    first, second = read_but_for(from_s, 34.0, two_pours)
    unseen_g = 4.0 * max(20.0 - from_s, 0.0) + 8.0
    assert first.mass_g == pytest.approx(60.0, abs=0.5 * unseen_g + 0.3)
    assert first.end_s == pytest.approx(20.0, abs=2.5)
    assert second.start_s == pytest.approx(32.0, abs=2.5)
    assert first.mass_g + (second.mass_g or 0.0) == pytest.approx(132.0, abs=0.3)
    assert first.unseen_g + second.unseen_g == pytest.approx(unseen_g, abs=0.5)


def test_what_had_ended_before_the_stretch_keeps_its_mass() -> None:
    first, second = read_but_for(20.6, 34.0, two_pours)
    assert first.mass_g == pytest.approx(60.0, abs=0.3)
    assert first.flow_cv is not None
    assert second.mass_g == pytest.approx(72.0, abs=0.3)


def test_water_that_brought_all_it_would_while_unseen_went_on() -> None:
    (pour,) = read_but_for(20.0, 34.0, one_pour)
    assert (pour.start_s, pour.end_s) == pytest.approx((5.0, 50.0), abs=0.3)
    assert pour.mass_g == pytest.approx(180.0, abs=0.3)


def test_nobody_knows_how_even_a_pour_was_that_ended_unseen() -> None:
    """The settled flow of what was seen must not stand in for it."""
    pour = ended_hidden(Pour(start_s=10.0, start_g=5.0), Hidden(14.0, 20.0, 19.0, 8.0, False), 27.0)
    assert pour.flow_cv is None
    assert pour.unjudged is Unjudged.HIDDEN


def test_what_swung_back_to_nothing_was_no_pour() -> None:
    """A gram more as the readings come back, and a tenth once the weight rests: a tenth of a gram
    was a pour of a stage of its own."""
    record = Record()
    for tenth in range(90):
        record.append(tenth / 10, 0.1)
    log = PourLog(record, TraitsLearner())
    log.hidden(5.0, 7.0, 0.0, 1.3)
    log.end(7.2, 0.1)
    assert log.pours == ()
