"""The block: handbook proportions as a starting belief, the tape as the law."""
