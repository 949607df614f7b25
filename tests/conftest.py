"""For all tests: no deadline on single examples, since a busy machine is no fault of the code."""

from hypothesis import settings

settings.register_profile("house", deadline=None)
settings.load_profile("house")
