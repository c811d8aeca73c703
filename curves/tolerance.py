"""Every named tolerance of the geometry, with what it trades and how it fails. Millimetres."""

#: Two ends closer than this are the same point. Far below anything a blade can follow, far above
#: the rounding of doubles at pattern size (a metre in doubles is exact to 2e-13 mm); larger would
#: hide real gaps, smaller would reject joints that differ only by rounding.
JOIN_MM = 1e-6

#: Default accuracy of an arc length. Seams have to agree within 0.5 mm, so a ten-thousandth of a
#: millimetre keeps the ruler out of every comparison.
LENGTH_MM = 1e-4

#: Default accuracy of a parallel path. The issue of a cutting line is 0.1 mm; a fifth of that
#: leaves room for flattening and rounding on the way to the printer.
OFFSET_MM = 0.02

#: Default distance between a path and its polyline when areas, overlaps and pictures are computed.
FLATTEN_MM = 0.02

#: Paths closer than this meet. The same length as a joint, so that ends that are joined also meet.
MEET_MM = JOIN_MM
