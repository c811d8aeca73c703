"""What `outseam lay` kept beside a spec, read back for those who only ask how much fabric."""

from __future__ import annotations

import json
from pathlib import Path

from cli.lay import kept_path
from draft.pattern import Pattern
from draft.quick_lay import FabricLength, fabric_length


def read_kept(spec: Path | None) -> object:
    """Return what was kept beside a spec; None if there is nothing that can be read."""
    path = kept_path(() if spec is None else (spec,))
    if path is None:
        return None
    try:
        found: object = json.loads(path.read_text("utf-8"))
    except (OSError, ValueError, RecursionError):
        return None
    return found


def fabric_for(pattern: Pattern, spec: Path | None) -> FabricLength:
    """Return how much fabric a pattern takes, by the lay kept beside its spec if that serves.

    Never fails; see `fabric_length`.
    """
    return fabric_length(pattern, read_kept(spec))
