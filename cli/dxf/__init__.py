"""Files that cutting rooms and cutters read: DXF with a block a piece, and plain lines."""
