"""The piece as heat sees it: flat, round or a block, with or without ice."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import numpy.typing as npt

from advisor.course.ends import has_bone, shape
from advisor.science.conduction import ThermalBody, at_depth, centre, leg, surface, uniform

if TYPE_CHECKING:
    from advisor.case.model import Case
    from advisor.course.ends import Ends
    from advisor.knowledge.rulebase import Rulebase
    from advisor.science.solids import Solid, SolidState

FloatArray = npt.NDArray[np.float64]
Inside: TypeAlias = "FloatArray | SolidState"
MILLIMETRE = 1e-3


@dataclass(frozen=True, slots=True)
class Felt:
    """What a stay in one medium does to the piece.

    Attributes
    ----------
    cells : FloatArray
        Temperatures from the middle outward along the thickness [°C], shape (n, cells).
    centre, surface, depth : FloatArray
        At the middle, on the largest face and at marinade depth [°C], shape (n,).
    end : Inside
        What the next stay begins with.
    """

    cells: FloatArray
    centre: FloatArray
    surface: FloatArray
    depth: FloatArray
    end: Inside


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of meat at one end of what is known of it.

    A block whose three sides are known is the product of three slabs, through as many stays as there are. All
    else is one thickness with a shape exponent: 0 for flat, which is the slowest, and the published tables' own
    for round. A piece that was frozen is taken as flat.

    Attributes
    ----------
    ends : Ends
        Sides and diffusivity.
    exponent : float
        Shape exponent [-].
    conductivity : float
        Thermal conductivity [W/m K].
    depth_m : float
        Depth at which a marinade is judged [m].
    """

    ends: Ends
    exponent: float
    conductivity: float
    depth_m: float

    @property
    def body(self) -> ThermalBody:
        """The thickness alone."""
        half = self.ends.sides_mm[0] * MILLIMETRE / 2
        return ThermalBody(half, self.exponent, self.ends.diffusivity, self.conductivity)

    @property
    def solid(self) -> Solid:
        """All sides that count."""
        from advisor.science.solids import block

        metres = tuple(side * MILLIMETRE for side in self.ends.sides_mm)
        return block(metres, self.ends.diffusivity, self.conductivity)

    @property
    def is_block(self) -> bool:
        """Whether more than the thickness counts."""
        return len(self.ends.sides_mm) > 1

    def thinned(self, thickness_mm: float) -> Piece:
        """Give the piece after pounding or splitting to a thickness: its other sides are not known any more."""
        side = max(thickness_mm + self.ends.thicker_mm, thickness_mm / 2)
        return replace(self, ends=replace(self.ends, sides_mm=(side,)), exponent=0.0)

    def even(self, temp_c: float) -> Inside:
        """Inside of the piece at one temperature throughout."""
        if not self.is_block:
            return uniform(self.body, temp_c)
        from advisor.science.solids import uniform_solid

        return uniform_solid(self.solid, temp_c)

    def mean(self, inside: Inside) -> float:
        """Mean temperature [°C]."""
        if isinstance(inside, np.ndarray):
            return float(np.mean(inside))
        from advisor.science.solids import mean_c

        return mean_c(self.solid, inside)

    def stay(self, inside: Inside, medium_c: float, surface_h: float, times_s: FloatArray) -> Felt:
        """Walk the piece through a stay in one medium."""
        if isinstance(inside, np.ndarray):
            cells = leg(self.body, inside, medium_c, surface_h, times_s)
            return self._felt(cells, centre(cells), surface(self.body, cells, medium_c, surface_h), cells[-1])
        from advisor.science.solids import solid_leg

        made = solid_leg(self.solid, inside, medium_c, surface_h, times_s)
        return self._felt(made.line, made.centre, made.surface, made.end)

    def _felt(self, cells: FloatArray, middle: FloatArray, outside: FloatArray, end: Inside) -> Felt:
        body = self.body
        # A piece thinner than twice the depth has its middle there.
        depth = at_depth(body, cells, min(self.depth_m, body.half_thickness_m), outside)
        return Felt(cells, middle, outside, depth, end)


def piece(case: Case, at: Ends, rulebase: Rulebase) -> Piece:
    """Piece of a case at one end."""
    round_one = shape(case) == "round" and not has_bone(case)
    return Piece(
        at,
        rulebase.parameter("round_exponent") if round_one else 0.0,
        rulebase.parameter("conductivity"),
        rulebase.limit("marinade_depth") * MILLIMETRE,
    )
