"""The solver's side of `solver`: run as a script in a process of its own, text in, text out.

It imports nothing of this program. What it reads is one JSON object, what it writes one line: the
shortest lay without overlap that the solver had come to when the time was over. The solver's own
limits are whole seconds and overrun, so it runs in a thread that the end of the process cuts off;
if it brings the process down before that, nothing is written.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import time

#: A run is long from so many seconds on, and then this share of it is for the last steps: of three
#: seeds of a minute's processor time on 64 pieces each came out .1 to .5 % shorter with it.
LONG_S, PRESSING = 15.0, 0.2


def main() -> None:
    """Read the task, run the solver until the time is over, write the last lay it reported."""
    started = time.monotonic()
    import spyrrow

    task = json.load(sys.stdin)
    items = [
        spyrrow.Item(str(i), [(x, y) for x, y in item["shape"]], 1, item["turns"])
        for i, item in enumerate(task["items"])
    ]
    strip = spyrrow.StripPackingInstance("", task["breadth"], items)
    # Its last steps, ever smaller ones, are worth a share of a long run; a short one is cut off
    # before it comes to them.
    seconds = task["seconds"]
    exploring = seconds if seconds < LONG_S else (1.0 - PRESSING) * seconds
    config = spyrrow.StripPackingConfig(
        total_computation_time=None,
        exploration_time=int(exploring) + 1,
        compression_time=int(seconds - exploring) + 1,
        seed=task["seed"],
        num_workers=1,
    )
    good = (
        spyrrow.ReportType.ExplFeas,
        spyrrow.ReportType.CmprFeas,
        spyrrow.ReportType.Final,
    )
    queue = spyrrow.ProgressQueue()
    thread = threading.Thread(target=strip.solve, args=(config, queue), daemon=True)
    thread.start()
    best = None
    while True:
        rest = seconds - (time.monotonic() - started)
        thread.join(min(0.05, max(0.0, rest)))
        running = thread.is_alive()
        for kind, found in queue.drain():
            if kind in good and (best is None or found.width <= best.width):
                best = found
        if not running or rest <= 0.0:
            break
    if best is not None:
        placed = [[int(p.id), p.rotation, *p.translation] for p in best.placed_items]
        sys.stdout.write(json.dumps(placed) + "\n")
        sys.stdout.flush()
    os._exit(0)


if __name__ == "__main__":
    main()
