"""The body: what was measured, what is estimated, and whether it goes together."""
