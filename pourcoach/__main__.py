"""``python -m pourcoach`` is ``pourcoach``."""

from pourcoach.cli.main import entry

if __name__ == "__main__":
    entry()
