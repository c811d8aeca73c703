"""Where the tape check's thresholds come from: log odds of slips in people to whom none happened.

    PYTHONPATH=tests python -m bench.thresholds [--people N]

For each way of measuring and each way of drawing people: the log odds that one in fifty, in
seventy and in a hundred exceeds, and how many exceed the threshold of `slips`. Its seeds are
used nowhere else.
"""

from __future__ import annotations

import argparse

import numpy as np
from bench.people import FIGURES, HEAVY, NATURAL, NOISY, WAYS, body_of, draw, real_people

from outseam.draft.body.population import BUILDS
from outseam.draft.body.slips import suspect_odds, weigh
from outseam.draft.body.table import Body

SHARES = (0.98, 1.0 - 1.0 / 70.0, 0.99)


def odds_line(who: str, people: list[Body]) -> str:
    """Return the odds that few exceed, and how many exceed the threshold in use."""
    odds = np.array([weigh(body).odds for body in people])
    most = np.array([suspect_odds(body) for body in people])
    few = " ".join(f"{x:6.2f}" for x in np.quantile(odds, SHARES))
    return f"{who:60} {len(people):5} {few}   in use {most[0]:.1f}: {np.mean(odds > most):.1%}"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="Log odds of slips where none happened.")
    parser.add_argument("--people", type=int, default=1500)
    count = parser.parse_args().people
    for how in (FIGURES, NATURAL, NOISY, HEAVY):
        for build in BUILDS:
            people = draw(build, count, 11, how)
            for way in WAYS:
                some = [body_of(build, p, way, navel=how.navel) for p in people]
                print(odds_line(f"{build}, {how.says}, {way}", some), flush=True)
    for build in BUILDS:
        print(odds_line(f"{build} of bdims", [b for b in real_people() if b.build == build]))


if __name__ == "__main__":
    main()
