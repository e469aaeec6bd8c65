"""Which part of the weight is brew water."""

from dataclasses import replace

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams


def in_water(pour: Pour, dry_g: Grams) -> Pour:
    """The pour in grams of water. ``dry_g`` is the unbroken weight with no water on it: tares,
    vessels and touches have been taken out of that weight already, so one figure serves a brew.
    """
    if dry_g == 0.0:
        return pour
    end_g = None if pour.end_g is None else pour.end_g - dry_g
    return replace(pour, start_g=pour.start_g - dry_g, end_g=end_g)
