"""Placing the pieces on the fabric: what has to lie there, where it lies, and whether it may."""
