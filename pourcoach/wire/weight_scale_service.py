"""The Weight Scale service of the Bluetooth SIG: Weight Measurement, characteristic 0x2A9D.

Weight Scale Service 1.0 and GATT Specification Supplement, "Weight Measurement" (read from
copies, not from the originals): a flags byte, then an unsigned 16-bit number, little end first,
of 0.005 kg each, or of 0.01 lb each where bit 0 of the flags is set.
"""

from collections import Counter

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.wire.decoder import DropReason
from pourcoach.wire.mass_unit import GRAMS_IN

SERVICE = "0000181d-0000-1000-8000-00805f9b34fb"
WEIGHT_MEASUREMENT = "00002a9d-0000-1000-8000-00805f9b34fb"

STEP_G: Grams = 5.0
IMPERIAL_STEP_G: Grams = 0.01 * GRAMS_IN["lb"]
IMPERIAL_FLAG = 0x01
# The Supplement's value for "Measurement Unsuccessful".
UNSUCCESSFUL = 0xFFFF


class WeightScaleDecoder:
    """Each ``feed`` is one indication."""

    def __init__(self) -> None:
        self._dropped: Counter[DropReason] = Counter()

    @property
    def dropped(self) -> Counter[DropReason]:
        """Indications that gave no reading, by reason."""
        return self._dropped

    def feed(self, data: bytes, t_s: Seconds) -> list[Reading]:
        """The reading of one indication; none where it is cut or reports a failure."""
        if len(data) < 3:
            self._dropped[DropReason.CUT] += 1
            return []
        count = int.from_bytes(data[1:3], "little")
        if count == UNSUCCESSFUL:
            self._dropped[DropReason.OUT_OF_RANGE] += 1
            return []
        step_g = IMPERIAL_STEP_G if data[0] & IMPERIAL_FLAG else STEP_G
        return [Reading(t_s, count * step_g)]
