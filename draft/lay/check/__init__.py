"""The independent judge of a finished lay."""
