"""``--no-config``, and the settings that a command starts from."""

import argparse
import sys

from pourcoach.places import config_folder
from pourcoach.session.settings import Settings, read_settings


def add_settings_option(parser: argparse.ArgumentParser) -> None:
    """Give the parser ``--no-config``."""
    parser.add_argument(
        "--no-config", action="store_true", help="leave config.toml and rubric.toml out"
    )


def settings_from(args: argparse.Namespace) -> Settings:
    """The user's settings, or the defaults with ``--no-config``."""
    return Settings() if args.no_config else user_settings()


def user_settings() -> Settings:
    """The settings in config.toml; names unknown keys on standard error and goes on without."""
    path = config_folder() / "config.toml"
    settings = read_settings(path)
    for key in settings.unknown:
        print(f"pourcoach: unknown setting {key!r} in {path} is left out", file=sys.stderr)
    return settings
