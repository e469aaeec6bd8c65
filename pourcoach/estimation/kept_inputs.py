"""The inputs of a record, kept to go through them again."""

from array import array
from collections.abc import Iterator
from math import isnan, nan

from pourcoach.domain.inputs import Input, Reading
from pourcoach.domain.units import Seconds

# A longer record is not kept: an hour takes 9 MB at 80 readings a second.
LONGEST_S: Seconds = 3600.0
MOST_INPUTS = 300_000
# How many are packed at a time.
PACKED = 512
# A count that needs more than eight bytes is kept as it is.
MOST_COUNTED = 2**63 - 1


class KeptInputs:
    """Inputs in order, 32 bytes a reading. What the fold does not use is left out.

    The newest are kept as they come and packed many at a time, which costs less with each reading.
    """

    __slots__ = (
        *("_acts", "_complete", "_device_s", "_first_s"),
        *("_grams", "_newest", "_sequences", "_times_s"),
    )

    def __init__(self) -> None:
        self._complete = True
        self._first_s: Seconds | None = None
        self._newest: list[Input] = []
        self._forget()

    def append(self, item: Input) -> None:
        """Keep the next one."""
        newest = self._newest
        newest.append(item)
        if len(newest) == PACKED:
            self._pack()

    @property
    def complete(self) -> bool:
        """Whether all are there; once the record is too long, none are."""
        self._pack()
        return self._complete

    def __iter__(self) -> Iterator[Input]:
        self._pack()
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

    def _pack(self) -> None:
        newest, self._newest = self._newest, []
        if not self._complete or not newest:
            return
        if self._first_s is None:
            self._first_s = newest[0].t_s
        count = len(self._times_s) + len(self._acts) + len(newest)
        if newest[-1].t_s - self._first_s > LONGEST_S or count > MOST_INPUTS:
            self._complete = False
            self._forget()
            return
        readings: list[Reading] = []
        for item in newest:
            if isinstance(item, Reading) and 0 <= (item.sequence or 0) <= MOST_COUNTED:
                readings.append(item)
            else:
                self._acts.append((len(self._times_s) + len(readings), item))
        self._times_s.extend([one.t_s for one in readings])
        self._grams.extend([one.grams for one in readings])
        self._device_s.extend([nan if one.device_s is None else one.device_s for one in readings])
        self._sequences.extend([-1 if one.sequence is None else one.sequence for one in readings])

    def _forget(self) -> None:
        self._times_s, self._grams = array("d"), array("d")
        self._device_s, self._sequences = array("d"), array("q")
        self._acts: list[tuple[int, Input]] = []
