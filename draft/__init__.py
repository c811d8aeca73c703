"""From body, fabric and style to a checked pattern. Writes no file and prints nothing."""
