"""The spec file: read, written to start from, and varied."""
