"""How a command leaves, for scripts that call it."""

from __future__ import annotations

from typing import Final

DONE: Final = 0
#: The checks forbid a pattern or a lay; with --strict, they warn.
FAILED: Final = 1
#: The input cannot be used, or the output cannot be written.
BAD_INPUT: Final = 2
#: As shells have it.
INTERRUPTED: Final = 130
BROKEN_PIPE: Final = 141
