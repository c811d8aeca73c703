"""What the makers of steps share: the pattern as they ask for it, sizes and settings."""
