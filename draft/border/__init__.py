"""A border printed along a selvedge: what the file says of it, and what follows for the pieces.

Everything that lies below the lay: the checks of a draft, the marks on its pieces, and the lay
itself read the border from here.
"""
