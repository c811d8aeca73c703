"""Pants drafted from a tape."""
