"""Pages of words and pictures: plain blocks, set on paper or as HTML."""
