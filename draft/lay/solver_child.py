"""The solver's side of `solver`: run as a script in a process of its own, text in, text out.

It imports nothing of this program. What it reads is one JSON object, what it writes one line per
run; if the solver brings the process down, the lines written before are still good.
"""

from __future__ import annotations

import json
import sys


def main() -> None:
    """Read the task, run it with every seed, write each result as soon as it is there."""
    import spyrrow

    task = json.load(sys.stdin)
    for run in task["runs"]:
        items = [
            spyrrow.Item(str(i), [(x, y) for x, y in item["shape"]], 1, item["turns"])
            for i, item in enumerate(run["items"])
        ]
        strip = spyrrow.StripPackingInstance("", task["breadth"], items)
        config = spyrrow.StripPackingConfig(
            total_computation_time=run["seconds"], seed=run["seed"], num_workers=1
        )
        found = strip.solve(config)
        placed = [[int(p.id), p.rotation, *p.translation] for p in found.placed_items]
        sys.stdout.write(json.dumps(placed) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
