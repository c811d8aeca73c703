"""Pieces of a pattern: edges, allowances, notches, lines, and the ruler that measures them."""
