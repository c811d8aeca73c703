"""The file beside a spec that keeps its lay, so that the same lay is drawn and told next time."""

from __future__ import annotations

import json
import os
from pathlib import Path


def kept_path(paths: tuple[Path, ...]) -> Path | None:
    """Return the file beside the spec that keeps its lay; None for the demo.

    Several specs laid together keep theirs beside the first, under all their names.
    """
    if not paths:
        return None
    return paths[0].with_name("+".join(p.stem for p in paths) + ".lay.json")


def read_lay(path: Path | None) -> object:
    """Return what was kept, None if nothing was; something unusable is told apart from nothing."""
    if path is None or not os.path.isfile(path):
        return None
    try:
        found: object = json.loads(path.read_text("utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return found


def read_kept(spec: Path | None) -> object:
    """Return what was kept beside a spec, as `read_lay` does."""
    return read_lay(kept_path(() if spec is None else (spec,)))
