"""What holds for all tests."""

from hypothesis import settings

# How long an example takes hangs on the machine: no test is about that.
settings.register_profile("any machine", deadline=None)
settings.load_profile("any machine")
