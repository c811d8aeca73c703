"""What a program owes the shell it runs in: words that its terminal can show, and a plain end.

Words that cannot be printed (a full disk, a reader that went away) end the program with one
sentence about what was written until then, and with the exit code that shells have for it.
"""

from __future__ import annotations

import codecs
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import IO, Any, Final

#: How characters are told where the encoding has none of them.
_PLAIN: Final = {
    **dict.fromkeys("–—−‑", "-"),
    **dict.fromkeys("‘’", "'"),
    **dict.fromkeys("“”", '"'),
    **dict.fromkeys("─━═", "-"),
    **dict.fromkeys("│┃║", "|"),
    "±": "+/-",
    "×": "x",
    "…": "...",
    "½": "1/2",
    "²": "2",
    "·": ".",
    "≤": "<=",
    "≥": ">=",
}

#: Address space without which the mathematical libraries cannot start; some of them wait for it
#: for ever instead of failing. Measured: a draft passes with 480 MB.
_LEAST_MEMORY_MB: Final = 560


class UnsaidError(Exception):
    """Words could not be printed; `reason` is the system's error."""

    def __init__(self, reason: OSError) -> None:
        self.reason = reason
        super().__init__(str(reason))


class _Stream:
    """A stream whose failures reach `run`, past libraries that would end the program themselves."""

    def __init__(self, stream: IO[str]) -> None:
        self._stream = stream

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def write(self, text: str) -> int:
        try:
            return self._stream.write(text)
        except OSError as e:
            raise UnsaidError(e) from None

    def flush(self) -> None:
        try:
            self._stream.flush()
        except OSError as e:
            raise UnsaidError(e) from None


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    found = error.object[error.start : error.end]
    return "".join(_PLAIN.get(c, "?") for c in found), error.end


codecs.register_error("outseam-plain", _plain)


@contextmanager
def guarded_output() -> Iterator[None]:
    """Within, printing what the terminal's encoding lacks is told plainly, and a failure to print
    raises UnsaidError; leaving it waits until all is printed."""
    before = sys.stdout
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            with suppress(LookupError, ValueError, OSError):
                reconfigure(errors="outseam-plain")
    if before is None:  # closed by the shell: nobody wants to read anything
        yield
        return
    guarded = _Stream(before)
    sys.stdout = guarded
    try:
        yield
    finally:
        sys.stdout = before
        guarded.flush()


def give_up_output() -> None:
    """Let nothing more be printed, so that the end of the program does not stumble over it."""
    with suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def one_thread() -> None:
    """Let the mathematical libraries use one thread: what they are given here is small."""
    for library in ("OPENBLAS", "OMP", "MKL"):
        os.environ.setdefault(f"{library}_NUM_THREADS", "1")


def memory_short() -> str:
    """Return a sentence when the shell allows too little memory to draft at all, else ""."""
    try:
        import resource
    except ImportError:  # no such limits on this system
        return ""
    limit, _ = resource.getrlimit(resource.RLIMIT_AS)
    if limit == resource.RLIM_INFINITY or limit >= _LEAST_MEMORY_MB * 1_000_000:
        return ""
    return (
        f"this shell allows a program {limit / 1e6:.0f} MB of memory, and a draft needs "
        f"{_LEAST_MEMORY_MB} MB; raise the limit (ulimit -v) and run the command again."
    )
