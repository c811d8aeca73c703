"""The one drawing language: layers of strokes and labels, the font, and how far they reach."""
