"""How property tests run here: the same examples each time, and no clock on them."""

from hypothesis import settings

settings.register_profile("measure", deadline=None, derandomize=True, max_examples=25)
settings.load_profile("measure")
