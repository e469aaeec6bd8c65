"""Noise that fades is taken off as its covariance matrix, written out in full, takes it off."""

import numpy as np
import pytest

from pourcoach.estimation.noise.whitening import BLOCK, Means, Relaxation, Whitening

KINDS = Relaxation(np.array([0.0, 0.02**2, 0.05**2]), np.array([0.02, 0.025, 0.07]))
AT_REST = Relaxation(np.full(3, 0.01**2), np.full(3, 0.14))


def uneven_means(rng, count):
    """Means of one to three readings, with gaps between them."""
    times = np.cumsum(rng.uniform(0.01, 0.05, 3 * count)).reshape(count, 3)
    shares = np.array([[1 / 3] * 3, [0.5, 0.5, 0.0], [1.0, 0.0, 0.0]])[rng.integers(3, size=count)]
    times = np.where(shares > 0.0, times, np.max(times * (shares > 0.0), axis=1)[:, None])
    return Means(np.sum(times * shares, axis=1), times, shares, np.zeros(count))


def covariance(means, white, relaxations, kind):
    apart_s = np.abs(means.members_s[:, :, None, None] - means.members_s)
    between = sum(one.variances[kind] * np.exp(-apart_s / one.fades_s[kind]) for one in relaxations)
    return np.diag(white) + np.einsum("nm,nmkl,kl->nk", means.shares, between, means.shares)


@pytest.mark.parametrize("relaxations", [(KINDS,), (KINDS, AT_REST)])
@pytest.mark.parametrize("count", [1, BLOCK, 3 * BLOCK + 5])
def test_it_is_what_the_whole_matrix_gives(relaxations, count):
    rng = np.random.default_rng(count)
    means, rows = uneven_means(rng, count), rng.standard_normal((count, 4))
    white = rng.uniform(0.005, 0.02, count) ** 2
    whitened, log_determinant = Whitening(means, white, rows).under(relaxations)
    for kind in range(3):
        full = covariance(means, white, relaxations, kind)
        assert log_determinant[kind] == pytest.approx(np.linalg.slogdet(full)[1])
        assert whitened[kind].T @ whitened[kind] == pytest.approx(
            rows.T @ np.linalg.solve(full, rows)
        )
