"""The command line, and everything that leaves the program."""
