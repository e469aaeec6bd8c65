from pourcoach.domain.inputs import Link, Reading
from pourcoach.simulation.faults import Outage
from pourcoach.simulation.scale.outages import WHY, with_link_states

STREAM = [Reading(t_s, 0.0) for t_s in (9.8, 9.9, 14.05, 14.15, 20.0)]


def test_a_loss_is_reported_when_noticed_and_the_return_with_the_first_reading() -> None:
    stated = with_link_states(STREAM, [Outage(8.0, lasts_s=4.0)], first_water_s=2.0)
    assert stated == [
        *STREAM[:2],
        Link(11.5, up=False, why=WHY),
        Link(14.05, up=True),
        *STREAM[2:],
    ]


def test_an_outage_over_before_it_is_noticed_is_only_a_gap() -> None:
    assert with_link_states(STREAM, [Outage(8.0, 4.0, noticed_s=6.0)], 2.0) == STREAM


def test_a_link_that_never_comes_back_stays_down() -> None:
    stated = with_link_states(STREAM[:2], [Outage(8.0, 4.0, noticed_s=0.0)], 2.0)
    assert stated == [*STREAM[:2], Link(10.0, up=False, why=WHY)]


def test_no_outage_no_word() -> None:
    assert with_link_states(STREAM, [], 2.0) == STREAM
