"""A pattern as a drawing, as figures, and as a chart of strain."""
