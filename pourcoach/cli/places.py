"""``pourcoach places``: where settings, recordings and the library are."""

import argparse
from pathlib import Path

from pourcoach.domain.printable import json_text
from pourcoach.library.library import library_path
from pourcoach.library.water_shelf import waters_path
from pourcoach.places import config_folder, rubric_path, tapes_folder
from pourcoach.scales.known.calibrations import calibrations_path
from pourcoach.scales.known.descriptions import descriptions_folder
from pourcoach.scales.known.names import names_path

EXAMPLE = "pourcoach places --json"


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(args: argparse.Namespace) -> int:
    places = _places()
    if args.json:
        print(json_text({name: str(path) for name, (path, _) in places.items()}))
        return 0
    width = max(len(what) for _, what in places.values())
    for path, what in places.values():
        print(f"{what:<{width}}  {path}{'' if path.exists() else '  (not there yet)'}")
    print("\nPOURCOACH_HOME=FOLDER moves all of them into one folder.")
    return 0


def _places() -> dict[str, tuple[Path, str]]:
    """By its JSON key: where it is, and what it is."""
    return {
        "settings": (config_folder() / "config.toml", "settings"),
        "recordings": (tapes_folder(), "recordings"),
        "library": (library_path(), "library of brews and people"),
        "rubric": (rubric_path(), "your own rubric"),
        "waters": (waters_path(), "saved waters"),
        "scale_names": (names_path(), "names of scales"),
        "calibrations": (calibrations_path(), "calibrations of scales"),
        "descriptions": (descriptions_folder(), "descriptions of scales"),
    }
