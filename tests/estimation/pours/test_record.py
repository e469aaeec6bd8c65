"""What is kept for hindsight: readings, and the arrivals beside them."""

from pourcoach.estimation.pours.record import LUMP, Record


def recorded(count: int) -> Record:
    """A reading a second, each of which arrives a tenth late."""
    record = Record()
    for second in range(count):
        record.append(float(second), 2.0 * second)
        record.arrived(float(second), second + 0.1)
    return record


def test_both_ends_of_a_stretch_belong_to_it():
    record = recorded(10)
    assert record.between(2.0, 4.0) == ([2.0, 3.0, 4.0], [4.0, 6.0, 8.0])
    assert record.arrivals_between(2.0, 4.0) == ([2.0, 3.0, 4.0], [2.1, 3.1, 4.1])


def test_what_is_looked_at_again_is_no_more_recorded_and_has_still_arrived():
    record = recorded(10)
    record.rewind(6.0)
    assert (record.last_s, record.last_g) == (6.0, 12.0)
    assert record.arrivals_between(6.5, 9.0)[0] == [7.0, 8.0, 9.0]


def test_a_stretch_is_left_out_between_its_ends():
    record = recorded(6)
    record.leave_out(1.0, 4.0)
    assert record.between(0.0, 9.0)[0] == [0.0, 1.0, 4.0, 5.0]


def test_readings_and_arrivals_are_forgotten_in_lumps():
    record = recorded(LUMP)
    record.forget(LUMP - 1.0)
    assert record.between(0.0, 9.0)[0][0] == 0.0  # so few are kept
    record = recorded(4 * LUMP)
    record.forget(3.0 * LUMP)
    for kept_s, _ in (record.between(0.0, 999.0), record.arrivals_between(0.0, 999.0)):
        assert kept_s[0] == 3.0 * LUMP
        assert kept_s[-1] == 4.0 * LUMP - 1.0
