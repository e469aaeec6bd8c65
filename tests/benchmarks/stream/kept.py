"""Tallies of single brews, kept in a file, so that a large run can be cut into small ones."""

import json
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict
from pathlib import Path

from pourcoach.domain.advice import FlagKind
from tests.benchmarks.coaching.cases import Case
from tests.benchmarks.stream.tally import Tally, merged, tally


class KeptTallies:
    """Runs what the file does not hold yet; without a file, everything."""

    def __init__(self, path: Path | None, jobs: int = 1) -> None:
        """``jobs`` brews run at a time, in as many processes; what comes of them is the same."""
        self._path = path
        self._jobs = jobs
        self._held: dict[str, dict[int, Tally]] = {}
        if path is not None and path.exists():
            for line in path.read_text().splitlines():
                row, seed, fields = json.loads(line)
                counts = fields.pop("false_flags")
                flags = Counter({FlagKind(kind): count for kind, count in counts.items()})
                self._held.setdefault(row, {})[seed] = Tally(**fields, false_flags=flags)

    def of(self, row: str, make: Callable[[int], Case], seeds: range) -> Tally:
        """All that is held of a row once these have been run."""
        held = self._held.setdefault(row, {})
        missing = [seed for seed in seeds if seed not in held]
        for seed, one in zip(missing, self._tallied(make, missing), strict=True):
            held[seed] = one
            if self._path is not None:
                fields = asdict(one)
                fields["false_flags"] = {kind.value: n for kind, n in one.false_flags.items()}
                with self._path.open("a") as file:
                    file.write(json.dumps([row, seed, fields]) + "\n")
        return merged(list(held.values()))

    def _tallied(self, make: Callable[[int], Case], seeds: Sequence[int]) -> Iterator[Tally]:
        """In the order of the seeds, each as soon as it is there."""
        if self._jobs == 1 or len(seeds) < 2:
            yield from (_tally_of(make, seed) for seed in seeds)
            return
        with ProcessPoolExecutor(min(self._jobs, len(seeds))) as processes:
            yield from processes.map(_tally_of, [make] * len(seeds), seeds)

    def blamed(self, row: str) -> list[int]:
        """Seeds of a row whose brew was blamed for what was not, or was lost or wrong by 3 g."""
        return [
            seed
            for seed, one in sorted(self._held.get(row, {}).items())
            if one.false_flags or one.lost or one.false_pours or one.water_wrong(3.0)
        ]


def _tally_of(make: Callable[[int], Case], seed: int) -> Tally:
    return tally([make(seed)])
