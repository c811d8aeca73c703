"""What alterations may change about a block: plain lengths that add up.

An alteration is a `Change` for each millimetre of its amount. All alterations of a spec are added
to one change before anything is drawn, so their order cannot matter.
"""

from __future__ import annotations

from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A sum of alterations, mm; all zero: the draft as measured.

    For each panel: `seam` how much longer its crotch seam gets, taken up at the top of the centre;
    `fork` how far the crotch point moves out as a part of that; `inseam` how far it moves out
    while the top stays, so that the seam grows with the curve; `alone` how far it moves out while
    the seam keeps its length; `curve` how far the middle of the crotch curve moves toward its
    corner while both its ends stay.

    For both: `depth` spread between hip and crotch; `shift` the leg below the crotch moved toward
    the inseam; `calf` added to the leg's girth there; `above_knee`, `below_knee` length put in;
    `seat_width` the back's outseam moved out at the hip line; `side` added to both outseams at the
    waist, to nothing at the hip and at the centre; `band` added to what holds the waist.
    """

    front_seam: float = 0.0
    front_fork: float = 0.0
    front_inseam: float = 0.0
    front_alone: float = 0.0
    front_curve: float = 0.0
    back_seam: float = 0.0
    back_fork: float = 0.0
    back_inseam: float = 0.0
    back_alone: float = 0.0
    back_curve: float = 0.0
    depth: float = 0.0
    shift: float = 0.0
    calf: float = 0.0
    above_knee: float = 0.0
    below_knee: float = 0.0
    seat_width: float = 0.0
    side: float = 0.0
    band: float = 0.0

    def __add__(self, other: Change) -> Change:
        return Change(**{f.name: getattr(self, f.name) + getattr(other, f.name) for f in _FIELDS})

    def times(self, amount: float) -> Change:
        """Return the change with every length multiplied by `amount`."""
        return Change(**{f.name: amount * getattr(self, f.name) for f in _FIELDS})

    @property
    def reshapes(self) -> bool:
        """Whether the panels differ from the draft as measured, but for the side's top."""
        return any(
            getattr(self, f.name) != 0.0
            for f in _FIELDS
            if f.name not in ("side", "band", "seat_width")
        )

    @property
    def keeps_seam(self) -> bool:
        """Whether the legs move, or grow by themselves, under a crotch seam that stays."""
        forks = self.front_inseam or self.back_inseam
        return bool(self.front_alone or self.back_alone or (self.shift and forks))


_FIELDS = fields(Change)

NONE = Change()
