from dataclasses import replace
from itertools import groupby, pairwise
from random import Random
from statistics import fmean, pstdev

import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.simulation.scale.converter import DeviceSample
from pourcoach.simulation.scale.link import SimulatedLink
from pourcoach.simulation.scale.scale_model import IDEAL, ScaleModel


def sent(
    model: ScaleModel, dropouts: tuple[tuple[float, float], ...] = (), count: int = 4000
) -> list[Reading]:
    link = SimulatedLink(model, dropouts, Random(1), Random(2))
    for index in range(count):
        link.send(DeviceSample(index / 80, float(index), 7 + index / 80, index))
    return link.arrived(1e9)


def test_a_perfect_cable_hands_over_at_once() -> None:
    assert [r.t_s for r in sent(IDEAL)] == [round(i / 80, 4) for i in range(4000)]


def test_nothing_is_handed_out_before_it_arrives_or_twice() -> None:
    link = SimulatedLink(replace(IDEAL, latency_s=0.5), (), Random(1), Random(2))
    link.send(DeviceSample(1.0, 3.0, 0.0, 0))
    assert link.arrived(1.49) == []
    assert [r.grams for r in link.arrived(1.5)] == [3.0]
    assert link.arrived(2.0) == []


def test_order_is_kept_whatever_the_jitter() -> None:
    readings = sent(replace(IDEAL, jitter_s=0.1))
    assert [r.grams for r in readings] == sorted(r.grams for r in readings)
    assert [r.t_s for r in readings] == sorted(r.t_s for r in readings)


def test_jitter_has_its_mean_and_spread() -> None:
    link = SimulatedLink(replace(IDEAL, jitter_s=0.03), (), Random(1), Random(2))
    late_s = []
    for index in range(4000):
        link.send(DeviceSample(float(index), 0.0, 0.0, 0))  # a second apart: none has to wait
        late_s += [r.t_s - index for r in link.arrived(1e9)]
    assert fmean(late_s) == pytest.approx(0.03, rel=0.05)
    assert pstdev(late_s) == pytest.approx(0.03, rel=0.05)


def test_a_radio_hands_over_in_bursts() -> None:
    readings = sent(replace(IDEAL, burst_s=0.048))
    gaps_s = [b.t_s - a.t_s for a, b in pairwise(readings)]
    # 80 Hz in 48 ms: 3.84 readings a burst, so about 74 of 100 gaps lie within one.
    assert fmean(gap_s < 0.002 for gap_s in gaps_s) == pytest.approx(0.74, abs=0.03)
    assert readings[-1].t_s == pytest.approx(50, abs=0.1)


def test_some_are_lost_and_some_come_twice() -> None:
    lossy = sent(replace(IDEAL, loss=0.05))
    assert len(lossy) == pytest.approx(3800, abs=60)
    doubled = sent(replace(IDEAL, doubled=0.05))
    assert len(doubled) == pytest.approx(4200, abs=60)
    twice = [a for a, b in pairwise(doubled) if a == b]
    assert len(twice) == len(doubled) - 4000


def test_a_dropout_takes_all_that_was_weighed_in_it() -> None:
    readings = sent(IDEAL, ((10.0, 12.0),))
    assert len(readings) == 4000 - 160
    assert not any(10.0 <= r.t_s < 12.0 for r in readings)


def test_time_and_count_of_the_device_are_sent_only_where_it_has_them() -> None:
    assert {(r.device_s, r.sequence) for r in sent(IDEAL)} == {(None, None)}
    readings = sent(replace(IDEAL, sends_time=True, sends_sequence=True))
    assert [r.sequence for r in readings] == list(range(4000))
    assert readings[0].device_s == 7


def test_a_lost_packet_takes_every_line_with_a_part_in_it() -> None:
    came = {r.sequence for r in sent(replace(IDEAL, sends_sequence=True, packet_loss=0.05))}
    lost = [index not in came for index in range(4000)]
    runs = [len(list(run)) for gone, run in groupby(lost) if gone]
    # 20 bytes on 9-byte lines touch 3 or 4 of them; where two lost packets meet, more go at once.
    assert min(runs) == 3
    assert fmean(run <= 4 for run in runs) > 0.85
    # A line of 9 bytes lies in one packet 12 times of 20 and in two 8 times.
    assert fmean(lost) == pytest.approx(0.6 * 0.05 + 0.4 * (1 - 0.95**2), rel=0.2)


def test_packets_lost_leave_the_delays_as_they_were() -> None:
    model = replace(IDEAL, jitter_s=0.002, sends_sequence=True)
    whole = {r.sequence: r.t_s for r in sent(model)}
    assert all(whole[r.sequence] == r.t_s for r in sent(replace(model, packet_loss=0.05)))
