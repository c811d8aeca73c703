"""All sizes of a style in one drawing, each with its own line, laid over each other at a point."""
