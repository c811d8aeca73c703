"""The only code that knows a file format: SVG, PDF, and files saved all or nothing."""
