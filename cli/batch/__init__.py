"""Many bodies at once: what is kept while a batch runs."""
