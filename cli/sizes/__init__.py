"""A range of sizes: where the bodies come from, whom they serve, and the files that tell it."""
