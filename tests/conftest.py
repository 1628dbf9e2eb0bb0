"""Random tests draw the same samples in every run, so that a failure is one of the change at hand.

`pytest --hypothesis-profile=search` draws new ones each time and more of them.
"""

from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("search", derandomize=False, deadline=None, max_examples=300)
settings.load_profile("steady")
