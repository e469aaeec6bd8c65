"""A finished pour in hindsight."""

import numpy as np
import pytest

from pourcoach.domain.pour import Pour
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.refit import refit

START_S, END_S, FLOW_GPS = 5.0, 15.0, 6.0


def record_of_a_pour() -> Record:
    rng = np.random.default_rng(11)
    record = Record()
    for t in np.arange(0.0, 20.0, 0.05):
        level = FLOW_GPS * (np.clip(t, START_S, END_S) - START_S)
        record.append(float(t), float(level + 0.03 * rng.standard_normal()))
    return record


@pytest.mark.parametrize("late_s", [-0.3, 0.0, 0.3, 1.2, 2.5])
def test_an_end_told_late_is_still_found(late_s):
    end_s = END_S + late_s
    end_g = FLOW_GPS * (min(end_s, END_S) - START_S)
    live = Pour(start_s=START_S, start_g=0.0, end_s=end_s, end_g=end_g)
    pour = refit(live, record_of_a_pour(), 0.0, TraitsLearner(), 0.0, 20.0)
    assert pour.end_s == pytest.approx(END_S, abs=0.1)
    assert pour.mass_g == pytest.approx(FLOW_GPS * (END_S - START_S), abs=0.2)
    assert pour.flow_cv is not None
    assert pour.flow_cv < 0.02
