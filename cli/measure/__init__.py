"""The measuring sheet and the figure its pictures are drawn on."""
