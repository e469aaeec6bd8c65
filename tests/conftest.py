"""Property tests draw the same examples each run, and a busy machine fails none of them."""

import os
from collections.abc import Generator

import pytest
from hypothesis import settings

WAITING_WORKERS = 2
"""Beside one a core with ``-n auto``: two fifths of a run on two cores were waits, for terminals,
browsers, radios and timers of screens. Each costs ten seconds of processor time to begin."""

# ``pytest --hypothesis-profile=explore`` draws new examples.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None)
settings.load_profile("steady")


@pytest.hookimpl(optionalhook=True, wrapper=True)
def pytest_xdist_auto_num_workers(config: pytest.Config) -> Generator[None, int, int]:
    """As many as xdist would start, and those that run while others wait.

    Each begins with a run of neighbours, and who has done takes half of another's: so fixtures of a
    module are made once, and no worker is left with the last long tests.
    """
    cores = yield
    if config.option.dist == "no":
        config.option.dist = "worksteal"
    return cores if "PYTEST_XDIST_AUTO_NUM_WORKERS" in os.environ else cores + WAITING_WORKERS
