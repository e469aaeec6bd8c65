"""Evenness: bias, spread and coverage against the realised value, from even to uneven."""

import numpy as np

from pourcoach.estimation.evenness import evenness
from tests.benchmarks.estimation.population import HANDS, Scale, brew
from tests.benchmarks.estimation.rivals import difference
from tests.benchmarks.estimation.sizes import Sizes

CVS = (0.08, 0.16, 0.25)
SCALES = (
    Scale(10.0, 0.03, 0.1),
    Scale(10.0, 0.15, 0.1),
    Scale(80.0, 0.05, 0.0),
    Scale(80.0, 0.15, 0.0),
)


def print_tables(sizes: Sizes) -> None:
    """Pours of 10 s; beside it the coefficient of variation of 1 s differences."""
    print("\nEvenness: bias and spread of flow_cv, and the same of 1 s differences")
    for scale in SCALES:
        for hand in HANDS:
            for cv in CVS:
                ours, told, rough = [], [], []
                for seed in sizes.even:
                    one = brew(seed, scale, hand, pour_s=(10.0, 10.0), cv=(cv, cv))
                    times = one.times_s - 0.016
                    even = evenness(
                        times.tolist(),
                        one.grams.tolist(),
                        one.start_s,
                        one.stop_s,
                        scale.sigma_g**2,
                    )
                    if even is None:
                        raise AssertionError("a pour of 10 s was not judged")
                    ours.append(even.flow_cv - one.true_cv())
                    told.append(even.error)
                    at, slope = difference(1.0)(one)
                    inside = slope[(at > one.start_s + 2.0) & (at < one.stop_s - 0.6)]
                    rough.append(inside.std() / inside.mean() - one.true_cv())
                off, error = np.array(ours), np.array(told)
                print(
                    f"  {scale.rate_hz:3.0f} Hz {scale.noise_g:.2f} g '{hand}' {cv:.2f}:"
                    f" {off.mean():+.4f} ± {off.std():.4f}"
                    f" (95 % interval holds {100 * np.mean(np.abs(off) < 1.96 * error):.0f} %);"
                    f" 1 s differences {np.mean(rough):+.3f} ± {np.std(rough):.3f}"
                )
