"""How long a library of ten thousand brews takes to list, search and open, and to be made anew.

    python -m tests.benchmarks.library [--brews N] [--tapes N]

Prints each question's median and worst time beside the bound, and for what reads everything the
ratio to the least that it could take: the same rows fetched, the same files looked at. Then the
rate of a rebuild on one core and on all: recordings a second, and how many times faster than the
brews themselves took.
"""

import argparse
import json
import os
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from statistics import median

from pourcoach.coaching.marking.rubric import DEFAULT_RUBRIC, read_rubric
from pourcoach.domain.afterwards import Fact, FactKind, Remark, RemarkKind, Tag
from pourcoach.library import brews
from pourcoach.library.brews import brew_called, find_brews, open_brew
from pourcoach.library.entering import enter_tape
from pourcoach.library.judged import keep_judgement
from pourcoach.library.library import Library, library_path
from pourcoach.library.looking import look_through
from pourcoach.library.records import Search
from pourcoach.places import tapes_folder
from pourcoach.recordings.afterword_lines import encode_afterword
from pourcoach.recordings.tape import read_tape
from pourcoach.session.judging.judge import judge
from pourcoach.session.judging.up_to_date import rebuild

BOUND_MS = 50.0
ASKED = 21
"""Times that each question is asked."""
PEOPLE, COFFEES = 40, 25
SHIPPED = Path(__file__).parents[2] / "recordings"
START = datetime(2024, 1, 1, 7, 0, tzinfo=UTC)


@contextmanager
def home() -> Iterator[Path]:
    """A data folder of its own."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["POURCOACH_HOME"] = folder
        yield Path(folder)


def fill(count: int) -> None:
    """Brews with figures and curves of real ones, each on a small tape of its own."""
    rubric = read_rubric(DEFAULT_RUBRIC)
    judged = [judge(tape, rubric) for tape in sorted(SHIPPED.glob("*.jsonl"))[:6]]
    folder = tapes_folder()
    folder.mkdir(parents=True)
    with Library(library_path()) as library, library.changing():
        for number in range(count):
            at = (START + timedelta(hours=2 * number)).isoformat()
            header = {"pourcoach": 1, "recorded_at": at, "by": f"Person {number % PEOPLE}"}
            said = [
                Fact(FactKind.COFFEE, f"Coffee {number % COFFEES}", at),
                Remark(RemarkKind.NOTE, f"note {number}: ripe plum, a little thin", at),
                *([Tag("exam", at)] if number % 10 == 0 else []),
            ]
            lines = [header, [0.1, number % 97], {"end": 0.2}]
            lines += [{"t": 0.2, **encode_afterword(word)} for word in said]
            tape = folder / f"{number:05}.jsonl"
            tape.write_text("\n".join(map(json.dumps, lines)) + "\n")
            entered = enter_tape(library, tape)
            keep_judgement(library, entered.number, judged[number % len(judged)])


def asked(question: Callable[[Library], object]) -> tuple[float, float, float]:
    """Medians of processor and of wall time, and the worst wall time, in milliseconds; each with a
    library opened anew, as a command does. On a busy machine the first says more.
    """
    worked, took = [], []
    for _ in range(ASKED):
        began, worked_before = time.perf_counter(), time.process_time()
        with Library(library_path()) as library:
            question(library)
        worked.append(1e3 * (time.process_time() - worked_before))
        took.append(1e3 * (time.perf_counter() - began))
    return median(worked), median(took), max(took)


def questions(count: int) -> dict[str, Callable[[Library], object]]:
    """By what is printed of each."""
    with Library(library_path()) as library:
        (middle,) = find_brews(library, most=1, skip=count // 2)
        number, name = middle.number, middle.id
    recent = (START + timedelta(hours=2 * (count - 100))).date()

    def found(search: Search) -> Callable[[Library], object]:
        return lambda library: find_brews(library, search, most=100)

    return {
        "list, the newest 100": lambda library: find_brews(library, most=100),
        "list, the 100 in the middle": lambda library: find_brews(
            library, most=100, skip=count // 2
        ),
        f"list, all {count}": find_brews,
        "search, a person": found(Search(by="person 7")),
        "search, a coffee": found(Search(coffee="Coffee 3")),
        "search, a finding": found(Search(finding="stall")),
        "search, a tag": found(Search(tag="exam")),
        "search, since a day": found(Search(since=recent)),
        "search, words found often": found(Search(text="ripe plum")),
        "search, words found once": found(Search(text=f"note {count // 2}:")),
        "search, words found nowhere": found(Search(text="no such words")),
        "search, all of these": found(
            Search(by="Person 7", finding="stall", text="plum", since=date(2024, 1, 1))
        ),
        "open, by number": lambda library: open_brew(library, number),
        "open, by id": lambda library: open_brew(library, brew_called(library, name).number),
        "look through the folder": look_through,
    }


def least(count: int) -> dict[str, Callable[[Library], object]]:
    """What two of the questions cannot do without: the same rows and the same files, and nothing
    made of them.
    """

    def rows(library: Library) -> object:
        with library.asking() as connection:
            return connection.execute(f"{brews.COLUMNS} WHERE binned_at IS NULL").fetchall()

    def files(_: Library) -> object:
        with os.scandir(tapes_folder()) as entries:
            return [entry.stat() for entry in entries]

    return {f"list, all {count}": rows, "look through the folder": files}


def worked_s() -> float:
    """Processor time of this process and of those that it waited for."""
    return sum(os.times()[:4])


def rebuild_rate(count: int) -> None:
    """Copies of the shipped recordings, each another brew."""
    sources = sorted(SHIPPED.glob("*.jsonl"))
    folder = tapes_folder()
    folder.mkdir(parents=True)
    brewed_s = 0.0
    for number in range(count):
        source = sources[number % len(sources)]
        first, _, rest = source.read_text(encoding="utf-8").partition("\n")
        at = (START + timedelta(hours=number)).isoformat()
        header = json.loads(first) | {"recorded_at": at}
        (folder / f"{number:04}.jsonl").write_text(f"{json.dumps(header)}\n{rest}")
        brewed_s += read_tape(source).last_s
    rubric = read_rubric(DEFAULT_RUBRIC)
    for cores in dict.fromkeys([1, os.cpu_count() or 1]):
        began, worked_before = time.perf_counter(), worked_s()
        done = rebuild(library_path(), rubric, lambda _: None, cores=cores)
        took_s = time.perf_counter() - began
        work_s = worked_s() - worked_before
        if done.judged != count:
            sys.exit(f"{done.judged} of {count} recordings were judged")
        print(
            f"rebuild on {cores} core{'s' * (cores > 1)}: {count} recordings in {took_s:.1f} s,"
            f" {count / took_s:.2f} a second, {brewed_s / took_s:.0f} x real time;"
            f" {work_s:.1f} s of processor, {brewed_s / work_s:.0f} x real time a core"
        )


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--brews", type=int, default=10_000)
    parser.add_argument("--tapes", type=int, default=24)
    args = parser.parse_args()
    with home():
        began = time.perf_counter()
        fill(args.brews)
        size_mb = library_path().stat().st_size / 1e6
        print(
            f"{args.brews} brews entered in {time.perf_counter() - began:.0f} s,"
            f" library of {size_mb:.0f} MB"
        )
        print(f"{'':32}{'processor':>10}{'median':>10}{'worst':>10}   bound {BOUND_MS:.0f} ms")
        floors = least(args.brews)
        for name, question in questions(args.brews).items():
            times_ms = asked(question)
            shown = "".join(f"{each_ms:7.1f} ms" for each_ms in times_ms)
            floor = floors.get(name)
            beside = "" if floor is None else f", {times_ms[0] / asked(floor)[0]:.2f} x the least"
            print(f"{name:32}{shown}   {times_ms[0] / BOUND_MS:.2f} of it{beside}")
    with home():
        rebuild_rate(args.tapes)


if __name__ == "__main__":
    main()
