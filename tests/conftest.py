"""Property tests draw the same examples each run, and a busy machine fails none of them."""

from hypothesis import settings

# ``pytest --hypothesis-profile=explore`` draws new examples.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None)
settings.load_profile("steady")
