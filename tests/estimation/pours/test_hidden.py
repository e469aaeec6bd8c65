"""Water that came unseen: its mass is known, when it ran is worked out from the flow."""

import pytest

from pourcoach.domain.pour import Pour, Unjudged
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.pours.hidden import Hidden, began_hidden, ended_hidden
from pourcoach.estimation.pours.pour_log import PourLog
from pourcoach.estimation.pours.record import Record


def test_a_pour_that_began_and_ended_unseen_lies_in_the_middle() -> None:
    hidden = Hidden(10.0, 20.0, 22.0, opens=True)
    pour = ended_hidden(Pour(start_s=10.0, start_g=5.0), hidden, 27.0)
    assert (pour.start_s, pour.end_s) == pytest.approx((13.0, 17.0))
    assert (pour.mass_g, pour.flow_cv) == (22.0, None)
    assert pour.refined


def test_a_pour_that_ended_unseen_went_on_at_its_flow() -> None:
    hidden = Hidden(14.0, 20.0, 10.0, opens=False)
    pour = ended_hidden(Pour(start_s=10.0, start_g=0.0), hidden, 30.0)
    assert (pour.start_s, pour.end_s) == pytest.approx((10.0, 16.0))


def test_a_pour_that_began_unseen_began_at_its_flow() -> None:
    hidden = Hidden(10.0, 20.0, 10.0, opens=True)
    assert began_hidden(Pour(start_s=10.0, start_g=0.0), hidden, 5.0).start_s == pytest.approx(18.0)
    assert began_hidden(Pour(start_s=10.0, start_g=0.0), hidden, 0.1).start_s == pytest.approx(10.0)


@pytest.mark.parametrize(("end_s", "inside"), [(19.0, True), (20.3, True), (21.0, False)])
def test_an_end_right_after_the_stretch_lies_in_it(end_s: float, inside: bool) -> None:
    assert Hidden(10.0, 20.0, 5.0, opens=False).ends_in(end_s) is inside


def test_nobody_knows_how_even_a_pour_was_that_ended_unseen() -> None:
    """The settled flow of what was seen must not stand in for it."""
    pour = ended_hidden(Pour(start_s=10.0, start_g=5.0), Hidden(14.0, 20.0, 8.0, False), 27.0)
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
