"""Evenness: bias, spread and coverage against the realised value, from even to uneven."""

import numpy as np

from pourcoach.estimation.pours.evenness import evenness
from tests.benchmarks.estimation.ours import PLATFORM_DELAY_S, run
from tests.benchmarks.estimation.population import HANDS, A, Array, B, Brew, Scale, brew, touched
from tests.benchmarks.estimation.rivals import difference
from tests.benchmarks.estimation.sizes import Sizes

CVS = (0.08, 0.16, 0.25)
SCALES = (
    Scale(10.0, 0.03, 0.1),
    Scale(10.0, 0.15, 0.1),
    Scale(80.0, 0.05, 0.0),
    Scale(80.0, 0.15, 0.0),
)


# Touches come so often on the touched pours, an hour.
TOUCHES_PER_H = 240.0


def print_tables(sizes: Sizes) -> None:
    """Pours of 10 s; beside it the coefficient of variation of 1 s differences."""
    print("\nEvenness: bias and spread of flow_cv, and the same of 1 s differences")
    for hand in HANDS:
        held: list[Array] = []
        for scale in SCALES:
            for cv in CVS:
                brews = [brew(s, scale, hand, pour_s=(10.0, 10.0), cv=(cv, cv)) for s in sizes.even]
                off, error = np.array([_off(one, scale) for one in brews]).T
                rough = [_rough(one) for one in brews]
                held.append(np.abs(off) < 1.96 * error)
                print(
                    f"  {scale.rate_hz:3.0f} Hz {scale.noise_g:.2f} g '{hand}' {cv:.2f}:"
                    f" {off.mean():+.4f} ± {off.std():.4f}"
                    f" (95 % interval holds {100 * np.mean(held[-1]):.0f} %);"
                    f" 1 s differences {np.mean(rough):+.3f} ± {np.std(rough):.3f}"
                )
        print(f"  '{hand}' in all: 95 % interval holds {100 * np.mean(held):.1f} %")
    _print_touched(sizes)


def _off(one: Brew, scale: Scale) -> tuple[float, float]:
    """Told less realised, and the standard error told."""
    times = one.times_s - PLATFORM_DELAY_S
    even = evenness(times.tolist(), one.grams.tolist(), one.start_s, one.stop_s, scale.sigma_g**2)
    if even is None:
        raise AssertionError("a pour of 10 s was not judged")
    return even.flow_cv - one.true_cv(), even.error


def _rough(one: Brew) -> float:
    at, slope = difference(1.0)(one)
    inside = slope[(at > one.start_s + 2.0) & (at < one.stop_s - 0.6)]
    return float(inside.std() / inside.mean()) - one.true_cv()


def _print_touched(sizes: Sizes) -> None:
    print(
        f"\nEvenness by the whole estimator, untouched and at {TOUCHES_PER_H:.0f} touches an hour"
    )
    for name, scale in (("A", A), ("B", B)):
        for per_h in (0.0, TOUCHES_PER_H):
            rows = []
            for seed in sizes.even:
                one = brew(seed, scale)
                pours = run(touched(seed, one, per_h)).pours
                if len(pours) == 1 and pours[0].flow_cv is not None:
                    rows.append((pours[0].flow_cv - one.true_cv(), pours[0].flow_cv_error or 0.0))
            off, error = np.array(rows).T
            print(
                f"  {name}, {per_h:3.0f} an hour: {off.mean():+.4f} ± {off.std():.4f}, median error"
                f" {np.median(np.abs(off)):.4f} (95 % interval holds"
                f" {100 * np.mean(np.abs(off) < 1.96 * error):.0f} %; {len(rows)} of"
                f" {len(sizes.even)} told as one pour)"
            )
