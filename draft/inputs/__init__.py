"""The door: values, units and tables of a spec file, and errors in one sentence."""
