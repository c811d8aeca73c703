"""Start-up: a cold `outseam --help` against a bare `import numpy`, in turn in one run."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

HELP = "from outseam.cli.main import run; run(['--help'])"
NUMPY = "import numpy"


def seconds(code: str) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    return time.perf_counter() - start


def test_help_against_numpy() -> None:
    pairs = [(seconds(HELP), seconds(NUMPY)) for _ in range(9)]
    ratio = statistics.median(a / b for a, b in pairs)
    print(f"\noutseam --help takes {ratio:.2f} of the time of import numpy (wanted: at most 2)")
