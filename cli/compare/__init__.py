"""Variants of a pattern side by side and laid on each other."""
