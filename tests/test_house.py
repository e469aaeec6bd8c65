"""Files and classes stay small enough to be read in one go; what does not says why."""

import ast
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "pourcoach"
MOST_LINES = 300
MOST_METHODS = 9
"""Public ones. Properties are read like attributes, and what Textual calls by name (actions,
handlers) is nobody's to call: neither counts."""
MOST_MUTABLE = 8
"""Attributes that are assigned to outside ``__init__``."""
MOST_LINES_EXCUSED = 400

NOT_OUR_WORDS = {"told", "tells", "badness", "livelier"}

LONG_FILES: dict[str, str] = {}
"""Longer than MOST_LINES, and why they are one file all the same."""

MANY_METHODS = {
    "MarkedBrew": "a question for each kind of measure",
    "Hypothesis": "the questions that one explanation of the readings is asked",
    "PourLog": "what can happen to a pour",
    "CheckedTable": "a reader for each kind of value",
    "Classroom": "a key each: what a trainer can ask of one station or of all; and what is seen",
    "BrewSession": "a key each: BrewControls, and what every session has",
    "ReplaySession": "a key each: PlaybackControls, and what every session has",
}
"""More public methods than MOST_METHODS."""

MUCH_STATE = {
    "Corrections": "one cue with its two clocks, for each rule that may hold it",
    "DelayFloor": "sums of a running block, as plain floats: it is the hot path",
    "Hand": "a simulated person: where each of its habits stands",
    "LagFilter": "state and covariance as plain floats: it is the hot path",
    "Progress": "one brew: begun, ended, its parts and what has been asked",
    "RestSlope": "sums of a running least squares, as plain floats",
    "TapeWriter": "a file that may go away while it is written",
    "TraitsLearner": "sums for each of a scale's traits, as plain floats: it is the hot path",
}
"""More mutable attributes than MOST_MUTABLE."""


@cache
def sources() -> dict[str, str]:
    paths = sorted(PACKAGE.rglob("*.py"))
    return {path.relative_to(PACKAGE).as_posix(): path.read_text("utf-8") for path in paths}


@cache
def trees() -> list[ast.Module]:
    return [ast.parse(source) for source in sources().values()]


@cache
def classes() -> list[ast.ClassDef]:
    return [node for tree in trees() for node in ast.walk(tree) if isinstance(node, ast.ClassDef)]


def methods(of: ast.ClassDef) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in of.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def is_called(method: ast.FunctionDef | ast.AsyncFunctionDef) -> bool:
    """Whether it is public and called by others of ours."""
    name = method.name
    if name.startswith(("_", "action_", "on_", "watch_", "render")):
        return False
    if name in ("compose", "check_action"):
        return False
    return not any("property" in ast.unparse(one) for one in method.decorator_list)


def assigned(method: ast.FunctionDef | ast.AsyncFunctionDef) -> Iterator[str]:
    for node in ast.walk(method):
        if (
            isinstance(node, ast.Attribute)
            and isinstance(node.ctx, ast.Store)
            and isinstance(node.value, ast.Name)
            and node.value.id == "self"
        ):
            yield node.attr


def long_files() -> dict[str, int]:
    counts = {name: source.count("\n") for name, source in sources().items()}
    return {name: count for name, count in counts.items() if count > MOST_LINES}


def many_methods() -> dict[str, list[str]]:
    called = {
        one.name: sorted({each.name for each in methods(one) if is_called(each)})
        for one in classes()
    }
    return {name: names for name, names in called.items() if len(names) > MOST_METHODS}


def much_state() -> dict[str, list[str]]:
    changed = {
        one.name: sorted(
            {
                name
                for each in methods(one)
                if each.name not in ("__init__", "__post_init__")
                for name in assigned(each)
            }
        )
        for one in classes()
    }
    return {name: names for name, names in changed.items() if len(names) > MOST_MUTABLE}


def test_a_file_is_read_in_one_go() -> None:
    long = long_files()
    assert sorted(set(long) - set(LONG_FILES)) == [], "part it, or give the reason in LONG_FILES"
    assert [name for name, count in long.items() if count > MOST_LINES_EXCUSED] == []


def test_a_class_has_few_methods() -> None:
    assert {k: v for k, v in many_methods().items() if k not in MANY_METHODS} == {}


def test_a_class_has_little_to_remember() -> None:
    assert {k: v for k, v in much_state().items() if k not in MUCH_STATE} == {}


def test_a_public_name_means_one_thing() -> None:
    """Classes and functions of modules; ``configure`` and ``run`` are what every command has."""
    counts = Counter(
        node.name
        for tree in trees()
        for node in tree.body
        if isinstance(node, ast.ClassDef | ast.FunctionDef) and not node.name.startswith("_")
    )
    twice = sorted(name for name, count in counts.items() if count > 1)
    assert [name for name in twice if name not in ("configure", "run")] == []


def test_names_and_docstrings_use_the_words_of_the_field() -> None:
    """A figure is reported, estimated or given; what is printed for people may say otherwise."""
    found = [
        (path, text)
        for path, source in sources().items()
        for text in _names_and_docstrings(ast.parse(source))
        if NOT_OUR_WORDS & set(re.findall(r"[a-z]+", text.lower()))
    ]
    assert not found


def _names_and_docstrings(tree: ast.Module) -> Iterator[str]:
    documented = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    for node in ast.walk(tree):
        if isinstance(node, documented):
            yield ast.get_docstring(node) or ""
        if isinstance(node, documented[1:]):
            yield node.name
        elif isinstance(node, ast.Name):
            yield node.id
        elif isinstance(node, ast.Attribute):
            yield node.attr
        elif isinstance(node, ast.arg):
            yield node.arg


def test_every_exception_is_needed() -> None:
    """What is small, or gone, needs no excuse."""
    assert sorted(set(LONG_FILES) - set(long_files())) == []
    assert sorted(set(MANY_METHODS) - set(many_methods())) == []
    assert sorted(set(MUCH_STATE) - set(much_state())) == []
