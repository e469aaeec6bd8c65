"""The least delay between the scale and this program, up to a constant offset of the clock."""

import math

from pourcoach.domain.units import Seconds

# The least of so long a block of arrivals stands for the way's own delay: long enough to hold
# several bursts of a radio (connection intervals up to 0.1 s are usual).
BLOCK_S = 0.4
LEAST_IN_BLOCK = 4
# Counts corrected in one direction and then in the other within this time were right before.
TO_AND_FRO_S = 1.5
# Blocks over which the spread within a block is averaged.
SPREAD_BLOCKS = 8
# The latest third of all blocks is averaged, and at most so many: the first are given by a clock
# that has not settled.
SETTLING = 3
MEMORY_BLOCKS = 20
# Where the least of a block wanders by so much of the excess within one and by so much of a period,
# readings are lost that are not counted: delays alone make the first share 0.1 to 0.4 at 10 to
# 100 Hz and bunches 0.5, losses of a tenth and a fifth 0.7 to 1.5. Of the first few blocks delays
# make as much by chance, and so does one reading lost in a hundred of a quarter of a period. Counts
# are believed again at smaller shares (all simulated).
MISCOUNTS_FROM, MISCOUNTS_TO = (0.6, 0.5), (0.3, 0.25)


class DelayFloor:
    """Averages the least residual of each block of arrivals.

    Delays are never negative, so the least residual says more than the mean (after Moon, Skelly &
    Towsley 1999, "Estimation and removal of clock skew from network delay measurements", INFOCOM).
    """

    __slots__ = (
        "_before_s",
        "_block_from_s",
        "_blocks",
        "_in_block",
        "_least_s",
        "_recounted_at_s",
        "_recounted_by_s",
        "_spreads",
        "_sum_s",
        "floor_s",
        "jumps",
        "mean_excess_s",
        "miscounts",
        "wander_s",
    )

    def __init__(self) -> None:
        self._blocks = 0
        self._in_block = 0
        self._spreads = 0
        self._least_s = 0.0
        self._sum_s = 0.0
        self._before_s: Seconds | None = None
        self._block_from_s = 0.0
        self._recounted_by_s = 0.0
        self._recounted_at_s = 0.0
        self.floor_s: Seconds = 0.0
        """The residual of an arrival with the least delay."""
        self.mean_excess_s: Seconds = math.inf
        """How far arrivals lie above the least of their block, on average."""
        self.wander_s: Seconds = 0.0
        """How far the least of a block lies from that of the next, on average."""
        self.jumps = False
        """Whether a delay has ever been seen to jump by a whole period, and back."""
        self.miscounts = False
        """Whether arrivals are nearer to when the readings were weighed than their count is."""

    def see(self, arrival_s: Seconds, residual_s: Seconds) -> Seconds | None:
        """Take one arrival; return the least residual of a block when it is full, else None."""
        in_block = self._in_block
        if in_block == 0:
            self._block_from_s, self._least_s, self._sum_s = arrival_s, residual_s, 0.0
        elif residual_s < self._least_s:
            self._least_s = residual_s
        self._sum_s += residual_s
        self._in_block = in_block = in_block + 1
        if self._blocks == 0:
            self.floor_s = self._least_s
        if in_block < LEAST_IN_BLOCK or arrival_s - self._block_from_s < BLOCK_S:
            return None
        self._in_block = 0
        return self._of_block(in_block, (arrival_s - self._block_from_s) / (in_block - 1))

    def _of_block(self, count: int, period_s: Seconds) -> Seconds:
        least_s, before_s = self._least_s, self._before_s
        mean_excess_s = (self._sum_s - count * least_s) / (count - 1)
        if self._spreads < SPREAD_BLOCKS:
            self._spreads += 1
        if self._spreads == 1:
            self.mean_excess_s = mean_excess_s
        else:
            self.mean_excess_s += (mean_excess_s - self.mean_excess_s) / self._spreads
        if before_s is not None:
            self.wander_s += (abs(least_s - before_s) - self.wander_s) / self._spreads
        self._before_s = least_s
        share, periods = MISCOUNTS_TO if self.miscounts else MISCOUNTS_FROM
        least_wander_s = max(share * self.mean_excess_s, periods * period_s)
        self.miscounts = self._spreads == SPREAD_BLOCKS and self.wander_s > least_wander_s
        return least_s

    def settle(self, least_s: Seconds) -> None:
        """Take the least residual of a block into the average."""
        self._blocks += 1
        n = min(-(-self._blocks // SETTLING), MEMORY_BLOCKS)
        self.floor_s += (least_s - self.floor_s) / n

    def recounted(self, arrival_s: Seconds, by_s: Seconds) -> None:
        """Begin a new block, since the count was corrected by ``by_s`` seconds.

        Two corrections in opposite directions mean that a delay jumps by a whole period; single
        arrivals are trusted less for a while then.
        """
        self._in_block = 0
        self._before_s = None
        if by_s * self._recounted_by_s < 0.0 and arrival_s - self._recounted_at_s < TO_AND_FRO_S:
            self.mean_excess_s += abs(by_s)
            self.jumps = True
        self._recounted_by_s, self._recounted_at_s = by_s, arrival_s
