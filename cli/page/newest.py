"""Work of which only the newest counts: what waits when newer work is asked for is let go."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import Executor
from typing import TypeVar

T = TypeVar("T")


class Newest:
    """Runs one piece of work at a time on an executor; of those that wait only the newest."""

    def __init__(self, executor: Executor) -> None:
        self._executor = executor
        self._lock = asyncio.Lock()
        self._asked = 0

    async def run(self, work: Callable[[], T]) -> T | None:
        """Return what the work returns; None where newer work was asked for before it began."""
        self._asked += 1
        mine = self._asked
        async with self._lock:
            if mine != self._asked:
                return None
            return await asyncio.get_running_loop().run_in_executor(self._executor, work)
