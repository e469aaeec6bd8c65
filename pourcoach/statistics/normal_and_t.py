"""Half the width of a 95 % interval, in standard errors: the 97.5 % points of the normal
distribution and of Student's t."""

from statistics import NormalDist

NORMAL_95 = NormalDist().inv_cdf(0.975)
# The usual table, degrees of freedom 1 to 30.
_TABLE = (
    *(12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228),
    *(2.201, 2.179, 2.160, 2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086),
    *(2.080, 2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048, 2.045, 2.042),
)


def t_95(freedom: int) -> float:
    """Of Student's t with this many degrees of freedom, at least 1; good to 0.001."""
    if freedom <= len(_TABLE):
        return _TABLE[freedom - 1]
    # First terms of Cornish and Fisher's expansion (Abramowitz and Stegun, 26.7.5).
    first = (NORMAL_95**3 + NORMAL_95) / 4
    second = (5 * NORMAL_95**5 + 16 * NORMAL_95**3 + 3 * NORMAL_95) / 96
    return NORMAL_95 + first / freedom + second / freedom**2
