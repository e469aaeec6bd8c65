"""The inputs of a record, kept to go through them again."""

from array import array
from collections.abc import Iterator
from math import isnan, nan

from pourcoach.domain.inputs import Input, Reading
from pourcoach.domain.units import Seconds

# A longer record is not kept: an hour takes 9 MB at 80 readings a second.
LONGEST_S: Seconds = 3600.0
MOST_INPUTS = 300_000
# A count that needs more than eight bytes is kept as it is.
MOST_COUNTED = 2**63 - 1


class KeptInputs:
    """Inputs in order, 32 bytes a reading. What the fold makes no use of is left out."""

    __slots__ = ("_acts", "_device_s", "_first_s", "_grams", "_sequences", "_times_s", "complete")

    def __init__(self) -> None:
        self.complete = True
        """Whether all are there; once the record is too long, none are."""
        self._first_s: Seconds | None = None
        self._forget()

    def append(self, item: Input) -> None:
        """Keep the next one."""
        if not self.complete:
            return
        first_s = self._first_s
        if first_s is None:
            self._first_s = first_s = item.t_s
        if item.t_s - first_s > LONGEST_S or len(self._times_s) + len(self._acts) >= MOST_INPUTS:
            self.complete = False
            self._forget()
        elif isinstance(item, Reading) and 0 <= (item.sequence or 0) <= MOST_COUNTED:
            self._times_s.append(item.t_s)
            self._grams.append(item.grams)
            self._device_s.append(nan if item.device_s is None else item.device_s)
            self._sequences.append(-1 if item.sequence is None else item.sequence)
        else:
            self._acts.append((len(self._times_s), item))

    def __iter__(self) -> Iterator[Input]:
        acts = iter(self._acts)
        act = next(acts, None)
        readings = zip(self._times_s, self._grams, self._device_s, self._sequences, strict=True)
        for place, (t_s, grams, device_s, sequence) in enumerate(readings):
            while act is not None and act[0] == place:
                yield act[1]
                act = next(acts, None)
            yield Reading(
                t_s,
                grams,
                None if isnan(device_s) else device_s,
                None if sequence < 0 else sequence,
            )
        while act is not None:
            yield act[1]
            act = next(acts, None)

    def _forget(self) -> None:
        self._times_s, self._grams = array("d"), array("d")
        self._device_s, self._sequences = array("d"), array("q")
        self._acts: list[tuple[int, Input]] = []
