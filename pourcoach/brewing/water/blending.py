"""In which shares waters come nearest to an aim."""

from collections.abc import Mapping, Sequence

from pourcoach.brewing.water.aims import amount_of, refuse_aims, scales_of
from pourcoach.brewing.water.bounded_least_squares import solve_bounded
from pourcoach.brewing.water.water import Water
from pourcoach.domain.errors import UsageError

# "The shares make one" as one more equation, so heavy that the aims cannot bend it; what is left
# of its error is taken out by dividing by the sum.
_WHOLE = 1e3


def shares_towards(waters: Sequence[Water], aims: Mapping[str, float]) -> list[float]:
    """The share by mass of each water, 0 to 1 and 1 in all, nearest to all aims together.

    ``aims`` are conserved fields of Water in mg/L, each weighed by its own size. Raises
    UsageError where an aim is unknown, or is not known of a water, or fewer than two are given.
    """
    if len(waters) < 2:
        raise UsageError("one water is no blend", "name two or more")
    refuse_aims(aims)
    scales = scales_of(aims)
    matrix = [[amount_of(water, item) / scales[item] for water in waters] for item in aims]
    wanted = [aim / scales[item] for item, aim in aims.items()]
    matrix.append([_WHOLE] * len(waters))
    wanted.append(_WHOLE)
    shares = solve_bounded(matrix, wanted, [1.0] * len(waters))
    whole = sum(shares)
    return [share / whole for share in shares]
