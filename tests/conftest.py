"""Before anything imports NumPy: the same single thread as the program itself uses. Then what a law is tried
on: the same examples each time, so that a change and nothing else turns a test red."""

from hypothesis import settings

from shopapp.environment import prepare_numbers

prepare_numbers()
settings.register_profile("same", derandomize=True)
settings.load_profile("same")  # others, now and then: --hypothesis-profile=default
