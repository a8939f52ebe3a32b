"""How long the command line takes to start, beside the bare interpreter in the same run.

    python tests/bench/bench_start.py

Wanted: help and the next pass of a ten-station part each in under 2 s.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

import core
from tests.made_up import rib

RUNS = 5
LIMIT_S = 2.0


def seconds(arguments: list[str]) -> float:
    """Median of a few runs, wall clock."""
    taken = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run([sys.executable, *arguments], capture_output=True, check=True)
        taken.append(time.perf_counter() - start)
    return median(taken)


def main() -> int:
    """Print the figures; 0 when both are under the limit."""
    bare = seconds(["-c", "pass"])
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "rib.json"
        job = rib(line={"radius": "1500 mm", "length": "400 mm"})
        file.write_text(core.write_document(job, []), "utf-8")
        runs = {"--help": ["-m", "shopapp", "--help"], "next": ["-m", "shopapp", "next", str(file)]}
        worst = 0.0
        for name, arguments in runs.items():
            taken = seconds(arguments)
            worst = max(worst, taken)
            print(f"{name:8} {taken:5.2f} s, {taken / bare:5.1f} times the bare interpreter's {bare:.2f} s")
    print("reached" if worst < LIMIT_S else "missed", f"(wanted under {LIMIT_S:g} s)")
    return int(worst >= LIMIT_S)


if __name__ == "__main__":
    sys.exit(main())
