"""The estimate against its limit, on seeds that nothing was chosen on.

Run: ``python -m tests.benchmarks.estimation [--quick]`` (some minutes, or under one).
Prints tables; nothing is asserted but that the rivals are what they claim to be.
"""

import sys
import time

from tests.benchmarks.estimation import brews, cost, edges, flow, steadiness
from tests.benchmarks.estimation.rivals import check_savitzky_golay
from tests.benchmarks.estimation.sizes import FULL, QUICK


def main() -> None:
    """All tables in one run."""
    sizes = QUICK if "--quick" in sys.argv[1:] else FULL
    begun = time.perf_counter()
    check_savitzky_golay()
    print(
        f"Tuned on seeds {sizes.tuning.start} to {sizes.tuning.stop - 1}, reported on"
        f" {sizes.reporting.start} and above. 'strokes' is a hand of random steps and turns, which"
        " is not the form that the filter assumes."
    )
    flow.print_tables(sizes)
    edges.print_tables(sizes)
    steadiness.print_tables(sizes)
    brews.print_tables(sizes)
    cost.print_tables()
    print(f"\n{time.perf_counter() - begun:.0f} s")


main()
