"""The commands, one file each: options in, exit code out."""
