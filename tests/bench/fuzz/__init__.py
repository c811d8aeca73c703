"""Texts, drafts, files and kills by the thousand, judged from outside. See `__main__`."""
