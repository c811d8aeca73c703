"""The sewing order of a pattern: one file for each family of steps, `order` puts them together."""
