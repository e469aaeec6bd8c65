"""Cable or radio: when, whether and how often a sample arrives."""

import math
from collections import deque
from collections.abc import Iterable
from random import Random

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Seconds
from pourcoach.simulation.scale.converter import DeviceSample
from pourcoach.simulation.scale.scale_model import ScaleModel

IN_BURST_S = 0.0003
"""Between readings handed over in one burst, on average: most gaps measured under 2 ms."""
PACKET_BYTES = 20
"""What one notification carries at the smallest transfer unit: 23 less 3 bytes (Bluetooth Core
Specification, ATT_MTU)."""
LINE_BYTES = 9
"""A plain weight as a line: sign, three digits, point, two digits, CR LF."""


class SimulatedLink:
    """Keeps the order, whatever the delays."""

    def __init__(
        self,
        model: ScaleModel,
        dropouts: Iterable[tuple[Seconds, Seconds]],
        chance: Random,
        packets: Random,
    ) -> None:
        """``dropouts``: from when to when nothing arrives. ``packets`` is chance, for those."""
        self._model = model
        self._packets = packets
        self._sent_bytes = 0
        self._packet = -1
        self._packet_lost = False
        self._dropouts = tuple(dropouts)
        self._chance = chance
        self._phase_s = chance.uniform(0, model.burst_s)
        self._last_s = 0.0
        self._under_way: deque[Reading] = deque()

    def send(self, sample: DeviceSample, corners_g: tuple[float, ...] = ()) -> None:
        """Hand over one sample."""
        model, chance = self._model, self._chance
        arrives_s = sample.t_s + model.latency_s
        if model.jitter_s:
            arrives_s += chance.expovariate(1 / model.jitter_s)
        if model.burst_s:
            bursts = math.ceil((arrives_s - self._phase_s) / model.burst_s)
            arrives_s = self._phase_s + bursts * model.burst_s
            arrives_s = max(arrives_s, self._last_s) + chance.expovariate(1 / IN_BURST_S)
        lost = chance.random() < model.loss
        lost = self._in_a_lost_packet() or lost
        doubled = chance.random() < model.doubled
        if lost or any(start_s <= sample.t_s < end_s for start_s, end_s in self._dropouts):
            return
        # To a tenth of a millisecond, as a tape keeps it, so that a replay is the same brew.
        self._last_s = round(max(arrives_s, self._last_s), 4)
        reading = Reading(
            self._last_s,
            sample.grams,
            sample.device_s if model.sends_time else None,
            sample.sequence if model.sends_sequence else None,
            corners_g,
        )
        self._under_way.extend([reading] * (1 + doubled))

    def _in_a_lost_packet(self) -> bool:
        """Whether the next line has a part in one: lines lie end to end in packets."""
        if not self._model.packet_loss:
            return False
        last = (self._sent_bytes + LINE_BYTES - 1) // PACKET_BYTES
        lost = self._sent_bytes // PACKET_BYTES == self._packet and self._packet_lost
        while self._packet < last:
            self._packet += 1
            self._packet_lost = self._packets.random() < self._model.packet_loss
            lost = lost or self._packet_lost
        self._sent_bytes += LINE_BYTES
        return lost

    def arrived(self, t_s: Seconds) -> list[Reading]:
        """What has come by now and was not handed out before."""
        come: list[Reading] = []
        while self._under_way and self._under_way[0].t_s <= t_s:
            come.append(self._under_way.popleft())
        return come
