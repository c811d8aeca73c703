"""A range of sizes: bodies by table, CSV or grade, one style over them, and whom they serve."""

from __future__ import annotations

from outseam.draft.sizes.run import Size, SizeRun, Skipped, draft_sizes

__all__ = ["Size", "SizeRun", "Skipped", "draft_sizes"]
