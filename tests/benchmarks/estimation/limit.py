"""The best that any fixed linear filter can do for a population: LMMSE, by regression.

Flow inside pours is regressed on the last ``WINDOW_S`` of readings, over many pours of that very
population. Readings older than half a second go in as block means, which loses nothing that
matters and keeps the regression small. Fitted on tuning seeds, judged on reporting seeds.
"""

from collections.abc import Sequence

import numpy as np

from tests.benchmarks.estimation.population import Array, Brew

WINDOW_S = 3.0
FINE_S = 0.5
BLOCKS_PER_S = 10.0


class Limit:
    """A fixed linear filter for one rate and one delay, fitted to a population."""

    def __init__(self, brews: Sequence[Brew], lag_s: float) -> None:
        self.lag_s = lag_s
        rows, wanted = zip(*(self._rows(b) for b in brews), strict=True)
        features, flows = np.concatenate(rows), np.concatenate(wanted)
        normal = features.T @ features
        normal[np.diag_indices_from(normal)] += 1e-9 * np.trace(normal)
        self._weights = np.linalg.solve(normal, features.T @ flows)

    def errors(self, brew: Brew) -> Array:
        """Estimate less truth at each moment inside the pour."""
        features, flows = self._rows(brew)
        return features @ self._weights - flows

    def _rows(self, brew: Brew) -> tuple[Array, Array]:
        rate = brew.rate_hz
        about = brew.times_s - self.lag_s
        newest = np.flatnonzero((about >= brew.start_s) & (about <= brew.stop_s))
        newest = newest[newest >= int(WINDOW_S * rate)]
        z = brew.grams
        now = z[newest]
        fine = max(int(FINE_S * rate), 8)
        columns = [np.ones(len(newest))]
        columns += [now - z[newest - j] for j in range(1, fine + 1)]
        sums = np.concatenate(([0.0], np.cumsum(z)))
        width = max(round(rate / BLOCKS_PER_S), 1)
        for j in range(fine, int(WINDOW_S * rate) - width, width):
            columns.append(now - (sums[newest - j + 1] - sums[newest - j - width + 1]) / width)
        return np.stack(columns, axis=1), brew.flow_at(about[newest])
