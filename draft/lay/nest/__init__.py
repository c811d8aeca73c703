"""Searches that place parts on cloth."""
