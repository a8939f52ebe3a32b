"""Before anything imports NumPy: the same single thread as the program itself uses."""

from shopapp.environment import prepare_numbers

prepare_numbers()
