"""Plane geometry in millimetres, y up: paths of cubic Bézier segments. Knows nothing of clothes."""
