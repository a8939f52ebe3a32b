"""Lets the benchmark's modules find each other, run by pytest or as a script."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
