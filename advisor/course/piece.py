"""The piece as heat sees it: flat, round or a block, with or without ice."""

from __future__ import annotations

import warnings
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import numpy.typing as npt

from advisor.course.ends import ever_frozen, has_bone, shape
from advisor.science.conduction import ThermalBody, at_depth, centre, leg, surface, uniform
from advisor.science.validity import gathered

if TYPE_CHECKING:
    from advisor.case.model import Case
    from advisor.course.ends import Ends
    from advisor.knowledge.rulebase import Rulebase
    from advisor.science.ice import FrozenBody
    from advisor.science.solids import Solid, SolidState
    from advisor.science.validity import OutsideRange

FloatArray = npt.NDArray[np.float64]
Inside: TypeAlias = "FloatArray | SolidState"
MILLIMETRE = 1e-3
CELLS, CELLS_WITH_ICE = 40, 24


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
    ice : FrozenBody or None
        What freezing needs to know, for a piece that is frozen at any time of the plan; of any thickness.
    """

    ends: Ends
    exponent: float
    conductivity: float
    depth_m: float
    ice: FrozenBody | None = None

    @property
    def body(self) -> ThermalBody:
        """The thickness alone."""
        half = self.ends.sides_mm[0] * MILLIMETRE / 2
        cells = CELLS if self.ice is None else CELLS_WITH_ICE
        return _body(half, self.exponent, self.ends.diffusivity, self.conductivity, cells)

    @property
    def frozen(self) -> FrozenBody:
        """The thickness alone, with what ice in it needs to know.

        Raises
        ------
        ValueError
            The piece is never frozen.
        """
        if self.ice is None:
            raise ValueError("this piece is never frozen")
        return replace(self.ice, half_thickness_m=self.ends.sides_mm[0] * MILLIMETRE / 2)

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
            felt, doubts = _stayed(self, inside.tobytes(), medium_c, surface_h, times_s.tobytes())
            for doubt in doubts:
                warnings.warn(doubt, stacklevel=2)
            return felt
        from advisor.science.solids import solid_leg

        made = solid_leg(self.solid, inside, medium_c, surface_h, times_s)
        return self.felt_in(made.line, made.centre, made.surface, made.end)

    def middle(self, inside: Inside, medium_c: float, surface_h: float, times_s: FloatArray) -> FloatArray:
        """Temperature of the middle alone through a stay [°C], shape (n,)."""
        if isinstance(inside, np.ndarray) and self.ice is None:
            return centre(leg(self.body, inside, medium_c, surface_h, times_s))
        return self.stay(inside, medium_c, surface_h, times_s).centre

    def felt_in(self, cells: FloatArray, middle: FloatArray, outside: FloatArray, end: Inside) -> Felt:
        """Gather what the cells come to at the places that are looked at."""
        body = self.body
        # A piece thinner than twice the depth has its middle there.
        depth = at_depth(body, cells, min(self.depth_m, body.half_thickness_m), outside)
        return Felt(cells, middle, outside, depth, end)


# A body is asked for with every stay, and is the same through a whole walk.
_body = lru_cache(maxsize=64)(ThermalBody)


@lru_cache(maxsize=256)
def _stayed(
    whole: Piece, inside: bytes, medium_c: float, surface_h: float, times_s: bytes
) -> tuple[Felt, tuple[OutsideRange, ...]]:
    """Walk a piece through a stay; the same early steps come again with every change that is tried after them.

    What was warned of is kept too, so that a stay that is known is doubted as it was at first.
    """
    start, times = np.frombuffer(inside), np.frombuffer(times_s)
    with gathered() as doubts:
        if whole.ice is None:
            cells = leg(whole.body, start, medium_c, surface_h, times)
        else:
            from advisor.science.freezing import frozen_leg

            cells = frozen_leg(whole.frozen, start, medium_c, surface_h, times)
        felt = whole.felt_in(cells, centre(cells), surface(whole.body, cells, medium_c, surface_h), cells[-1])
    for kept in (felt.cells, felt.centre, felt.surface, felt.depth):
        kept.flags.writeable = False
    return felt, tuple(doubts)


def piece(case: Case, at: Ends, rulebase: Rulebase) -> Piece:
    """Piece of a case at one end."""
    p = rulebase.parameter
    exponent = p("round_exponent") if shape(case) == "round" and not has_bone(case) else 0.0
    plain = Piece(at, exponent, p("conductivity"), rulebase.limit("marinade_depth") * MILLIMETRE)
    return plain if not ever_frozen(case, rulebase) else _freezable(plain, case, rulebase)


def _freezable(plain: Piece, case: Case, rulebase: Rulebase) -> Piece:
    """Give a piece that may hold ice: flat, the slowest shape, whatever its other sides."""
    from advisor.science.ice import frozen_body
    from advisor.science.properties import lean_with_fat

    p = rulebase.parameter
    flat = replace(plain, ends=replace(plain.ends, sides_mm=plain.ends.sides_mm[:1]), exponent=0.0)
    fat = case.number("piece", "fat", p("usual_fat_pct")) / 100.0
    bound = rulebase.meat["bound_water"]
    made = frozen_body(
        flat.body.half_thickness_m,
        0.0,
        lean_with_fat(fat),
        p("freezing_point_c"),
        # The slow end has most to melt.
        float(bound.low if flat.ends.end == "slow" and bound.low is not None else p("bound_water")),
        cells=CELLS_WITH_ICE,
    )
    ice = replace(made, diffusivity_m2_s=flat.ends.diffusivity, conductivity_w_mk=flat.conductivity)
    return replace(flat, ice=ice)
