"""Paper: pieces arranged on pages and wide sheets, with what stands on them to join them."""
