"""One command for all of it: `PYTHONPATH=tests nice python -m bench.fuzz`.

    python -m bench.fuzz                        some minutes of everything
    python -m bench.fuzz door=1000000 draft=20000 files=20000 beside=20000 kills=1000 --from 0

Counts name the tries of each kind: texts through the door, specs drafted, specs written as
everything, all that is told beside a pattern, styles over all sizes, kills of each command. A try
is a seed, so every fault can be tried again; its text is kept in `cases`, which the ordinary suite
reads. Exit code 1 if anything was found.
"""

from __future__ import annotations

import os
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from bench.fuzz.kills import KILLS, kill
from bench.fuzz.specs import damaged_text, valid_text
from bench.fuzz.trials import TRIES

from outseam.draft.inputs.errors import OutseamError
from outseam.draft.spec.spec import parse_spec

CASES = Path(__file__).parent / "cases"
#: A try takes some seconds; one that takes so many hangs.
LIMIT_S = 300
SOME = {"door": 20_000, "draft": 1_000, "files": 40, "beside": 40, "sizes": 5, "kills": 10}


def text_of(kind: str, seed: int) -> str:
    """Return the text of a try."""
    return damaged_text(seed) if kind == "door" else valid_text(seed, papers=kind != "draft")


def _outcome(text: str) -> str:
    try:
        parse_spec(text)
    except OutseamError:
        return "refused"
    except Exception:
        return "broken"
    return "read"


def _keep(kind: str, seed: int, text: str, faults: Iterable[str]) -> None:
    """Tell the faults of a try, and keep its text."""
    for fault in faults:
        print(f"{kind} {seed}: {fault}", flush=True)
    CASES.mkdir(exist_ok=True)
    (CASES / f"{kind}-{seed}.toml").write_bytes(text.encode("utf-8", "surrogatepass"))


@contextmanager
def _within_a_limit(kind: str, seed: int, text: str) -> Iterator[None]:
    """End the program where a try does not come back: what hangs in a thread cannot be left."""

    def end(*_: object) -> None:
        _keep(kind, seed, text, [f"not done after {LIMIT_S} s"])
        os._exit(1)

    signal.signal(signal.SIGALRM, end)
    signal.alarm(LIMIT_S)
    yield
    signal.alarm(0)


def _tries(kind: str, first: int, count: int) -> int:
    start, faults, outcomes = time.perf_counter(), 0, Counter[str]()
    for seed in range(first, first + count):
        text = text_of(kind, seed)
        with _within_a_limit(kind, seed, text):
            found = TRIES[kind](text)
        outcomes[_outcome(text)] += kind == "door"
        if found:
            _keep(kind, seed, text, found)
            faults += 1
    took = time.perf_counter() - start
    told = "".join(f", {n} {word}" for word, n in outcomes.items() if n)
    print(f"{kind}: {count} tries from {first}, {faults} with faults{told}; {took:.0f} s")
    return faults


def _kills(count: int, seed: int) -> int:
    faults = 0
    with tempfile.TemporaryDirectory() as folder:
        for name in KILLS:
            start = time.perf_counter()
            found = kill(name, Path(folder), count, seed)
            for fault in found:
                print(fault, flush=True)
            faults += len(found)
            took = time.perf_counter() - start
            print(f"{name}: {count} kills, {len(found)} faults; {took:.0f} s", flush=True)
    return faults


def main(arguments: list[str]) -> int:
    """Run what is asked for; return the exit code."""
    first = 0
    if "--from" in arguments:
        at = arguments.index("--from")
        first = int(arguments[at + 1])
        arguments = arguments[:at] + arguments[at + 2 :]
    counts = {k: int(n) for k, n in (a.split("=") for a in arguments)} or SOME
    faults = sum(_tries(kind, first, n) for kind, n in counts.items() if kind != "kills")
    if counts.get("kills"):
        faults += _kills(counts["kills"], first)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
