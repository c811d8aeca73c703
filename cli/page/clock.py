"""Times of the clock as the page tells them."""

from __future__ import annotations

import datetime


def told_time(seconds: float) -> str:
    """Return a time of the clock and day as it is told on the page."""
    when = datetime.datetime.fromtimestamp(seconds)
    return f"{when:%Y-%m-%d %H:%M}"
