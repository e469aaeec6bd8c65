"""What restamping gives."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourcoach.estimation.noise.whitening import Array


@dataclass(frozen=True, slots=True)
class Restamped:
    """Improved stamps with their variances."""

    times_s: Array
    vars_s2: Array
    kept: NDArray[np.bool_]
    """Whether a reading could be placed, as a mask; the others are to be left out."""
