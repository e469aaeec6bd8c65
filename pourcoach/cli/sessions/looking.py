"""Actions that change nothing: list, search, show, people."""

import argparse
from typing import Any

from pourcoach.cli.console.terminal import say_error
from pourcoach.cli.options.rubric_option import rubric_from
from pourcoach.cli.sessions.action import Action
from pourcoach.cli.sessions.shelf import (
    add_brews,
    add_shelf_options,
    judged_group,
    open_shelf,
    search_from,
)
from pourcoach.domain.printable import json_text
from pourcoach.library.brews import brew_called, find_brews, open_brew
from pourcoach.library.exporting import all_of
from pourcoach.library.people import people
from pourcoach.library.records import Brew, Search
from pourcoach.reports.columns import in_columns
from pourcoach.reports.group.class_findings import class_findings
from pourcoach.reports.group.summary_page import student_figures, summary_lines
from pourcoach.session.judging.many import judge_brews
from pourcoach.session.judging.up_to_date import unjudged_sentences, waiting
from pourcoach.session.kept.rows import HEADINGS, NUMBERS, lines, row
from pourcoach.wording.figures import how_many


def _configure_list(parser: argparse.ArgumentParser) -> None:
    add_shelf_options(parser)
    parser.add_argument("--json", action="store_true", help="print one JSON object a brew")


def _list(args: argparse.Namespace) -> int:
    return _print_list(args, search_from(args))


def _configure_search(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("words", nargs="+", metavar="WORD", help="all of them must be found")
    _configure_list(parser)


def _search(args: argparse.Namespace) -> int:
    return _print_list(args, search_from(args, " ".join(args.words)))


def _print_list(args: argparse.Namespace, search: Search) -> int:
    with open_shelf(rubric_from(args)) as library:
        brews = find_brews(library, search)
    if args.json:
        for brew in brews:
            print(json_text(list_figures(brew)))
        return 0
    if not brews:
        print("No brew is like that." if search != Search() else "No brew is kept yet.")
        return 0
    table = in_columns([HEADINGS, *map(row, brews)], right=NUMBERS)
    print("\n".join(line.rstrip() for line in table))
    count = how_many(len(brews), "brew")
    print(f"\n{count}. 'pourcoach sessions show ID' shows all that is known of one.")
    return 0


def list_figures(brew: Brew) -> dict[str, Any]:
    """One brew of the list as a JSON object."""
    return {
        "id": brew.id,
        "recording": str(brew.tape),
        "recorded_at": brew.recorded_at,
        "title": brew.title,
        "by": brew.by,
        "coffee": brew.coffee,
        "water": brew.water,
        "tags": list(brew.tags),
        "water_g": brew.water_g,
        "brew_s": brew.brew_s,
        "findings": list(brew.findings),
        "headline": brew.headline,
        "marks_met": brew.marks_met,
        "marks_of": brew.marks_of,
        "strength_percent": brew.strength_percent,
        "missing": bool(brew.is_missing),
        "judged_by": brew.judged_by,
    }


def _configure_show(parser: argparse.ArgumentParser) -> None:
    add_brews(parser, several=False)
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def _show(args: argparse.Namespace) -> int:
    rubric = rubric_from(args)
    with open_shelf() as library:
        number = brew_called(library, args.brew).number
        own = [brew for brew in waiting(library, rubric) if brew.number == number]
        for sentence in unjudged_sentences(judge_brews(library, own, rubric)):
            say_error(sentence)
        opened = open_brew(library, number)
    print(json_text(all_of(opened)) if args.json else "\n".join(lines(opened)))
    return 0


def _summary(args: argparse.Namespace) -> int:
    with open_shelf(rubric_from(args)) as library:
        brews = [brew for _, brew in judged_group(library, search_from(args))]
    found = class_findings(brews)
    if args.json:
        for student in found.students:
            print(json_text(student_figures(student)))
    elif not found.students:
        print("No brew is like that.")
    else:
        print("\n".join(summary_lines(found)))
        print("'pourcoach report --class --out class.html' is the page to hand out.")
    return 0


def _configure_people(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print one JSON object a person")


def _people(args: argparse.Namespace) -> int:
    with open_shelf() as library:
        everybody = people(library)
    for person, count in everybody:
        if args.json:
            figures = {"name": person.name, "brews": count, "reaction_s": person.reaction_s}
            print(json_text(figures))
        else:
            print(f"{count:>5}  {person.name}")
    return 0


ACTIONS = (
    Action(
        "list",
        "lists brews, the newest first",
        "--by Ada --since 2026-01-01 --finding bloom-short",
        _configure_list,
        _list,
        judges=True,
    ),
    Action(
        "search",
        "lists brews with all the words in what is known of them: person, coffee, note, finding …",
        "ada washed bloom",
        _configure_search,
        _search,
        judges=True,
    ),
    Action(
        "show", "shows all that is known of a brew", "3f9a2c41", _configure_show, _show, judges=True
    ),
    Action(
        "summary",
        "says who does what: how often each finding comes with each person",
        "--since 2026-01-01",
        _configure_list,
        _summary,
        judges=True,
    ),
    Action("people", "lists who brewed, and how often", "", _configure_people, _people),
)
