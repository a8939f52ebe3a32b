"""``python -m shopapp`` is ``gapwright``."""

import sys

from shopapp.cli import main

if __name__ == "__main__":
    sys.exit(main())
