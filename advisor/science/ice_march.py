"""Steps in time of a piece with ice in it: the freezing curve, the balance of the shells, and a march that is kept.

The equations, where they hold and whence they are stand in :mod:`advisor.science.freezing`.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from advisor.science.history import FloatArray
from advisor.science.ice import LATENT_HEAT_J_KG, LATENT_SLOPE_J_KGK, FrozenBody

if TYPE_CHECKING:
    from collections.abc import Iterator

MODEL = "conduction with ice"
CONVERGED_C = 1e-5  # the rounds converge by squares: what is left is far less, and the heat closes to 1e-10
# Moment [s], temperatures [°C] and heat [J/m3] of the cells, then of the surface.
At: TypeAlias = tuple[float, FloatArray, FloatArray]
_FIRST_STEP = 1e-4
"""First step in time, as a share of R²/α."""

_STEP_GROWTH = 0.015
"""Later steps, as a share of the time since the leg began: what happens late happens slowly."""

_SETTLED_C = 1e-7
_ROUNDS = 30
_HALVINGS = 12


@dataclass(frozen=True, slots=True)
class Curve:
    """Numbers of the freezing curve that every step needs.

    Attributes
    ----------
    freezing : float
        Where ice first forms [°C].
    capacity : float
        Heat capacity without melting [J/m3 K].
    water : float
        Water that can freeze [kg/m3].
    thawed_k, more_k : float
        Conductivity without ice, and what is added when all is ice [W/m K].
    """

    freezing: float
    capacity: float
    water: float
    thawed_k: float
    more_k: float

    @classmethod
    def of(cls, body: FrozenBody) -> Curve:
        """Gather them from a body."""
        water = body.density_kg_m3 * body.freezable_water
        more = body.frozen_conductivity_w_mk - body.conductivity_w_mk
        return cls(body.freezing_c, body.heat_capacity, water, body.conductivity_w_mk, more)

    def flow(self, temps: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Integral of the conductivity from where ice first forms [W/m], and the conductivity [W/m K]."""
        icy = np.minimum(temps, self.freezing)
        ratio = self.freezing / icy
        by_ice = self.more_k * (icy - self.freezing + self.freezing * np.log(ratio))
        return self.thawed_k * (temps - self.freezing) + by_ice, self.thawed_k + self.more_k * (1 - ratio)

    def heat(self, temps: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Heat held [J/m3], and what a degree takes, melting included [J/m3 K]."""
        icy = np.minimum(temps, self.freezing)
        ratio = self.freezing / icy
        latent = LATENT_HEAT_J_KG + LATENT_SLOPE_J_KGK * icy
        frozen = self.water * (1 - ratio)
        melting = (self.water * ratio / icy * latent + frozen * LATENT_SLOPE_J_KGK) * (temps < self.freezing)
        return self.capacity * (temps - self.freezing) - frozen * latent, self.capacity - melting


@dataclass(frozen=True, slots=True)
class Shells:
    """The balance of one body in one medium: cells, then the surface, which holds no heat.

    Attributes
    ----------
    curve : Curve
        Of the meat.
    medium_c : float
        Temperature of the medium [°C].
    volumes : FloatArray
        Of the cells, and 0 for the surface, for each square metre of it at R = 1, shape (cells + 1,).
    exchange : FloatArray
        How the integral of the conductivity drives heat between neighbours, shape (cells + 1, cells + 1).
    film : float or None
        Heat to the surface for each degree [W/K]; None where the surface is held at the medium's temperature.
    scale_s : float
        R²/α [s].
    """

    curve: Curve
    medium_c: float
    volumes: FloatArray
    exchange: FloatArray
    film: float | None
    scale_s: float

    @classmethod
    def of(cls, body: FrozenBody, medium_c: float, surface_h: float) -> Shells:
        """Cut the body and tie its surface to the medium."""
        edges = np.linspace(0.0, body.half_thickness_m, body.cells + 1)
        power = body.shape_exponent + 1
        volumes = np.append(np.diff(edges**power) / power, 0.0)
        between = edges[1:] ** body.shape_exponent * body.cells / body.half_thickness_m
        between[-1] *= 2  # half a cell from the last middle to the surface
        along = np.append(between, 0.0) + np.append(0.0, between)
        exchange = np.diag(along) - np.diag(between, 1) - np.diag(between, -1)
        film = None if np.isinf(surface_h) else float(edges[-1] ** body.shape_exponent * surface_h)
        scale = body.half_thickness_m**2 / body.diffusivity_m2_s
        return cls(Curve.of(body), medium_c, volumes, exchange, film, scale)


def _stepped(
    shells: Shells, temps: FloatArray, held: FloatArray, step_s: float
) -> tuple[FloatArray, FloatArray] | None:
    """Temperatures and heat after one implicit step, or None when the rounds do not settle."""
    curve, freezing = shells.curve, shells.curve.freezing
    low, high = min(float(temps.min()), shells.medium_c), max(float(temps.max()), shells.medium_c)
    storing = shells.volumes / step_s
    at = temps.copy()
    free = at.size
    if shells.film is None:
        free -= 1
        at[-1] = shells.medium_c
    exchange = shells.exchange[:free, :free]
    for _ in range(_ROUNDS):
        heat, slope = curve.heat(at)
        flow, conductivity = curve.flow(at)
        short = storing * (heat - held) + shells.exchange @ flow
        slopes = exchange * conductivity[:free]
        diagonal = slopes.reshape(-1)[:: free + 1]
        diagonal += (storing * slope)[:free]
        if shells.film is not None:
            short[-1] += shells.film * (at[-1] - shells.medium_c)
            diagonal[-1] += shells.film
        new = np.clip(at[:free] - np.linalg.solve(slopes, short[:free]), low, high)
        # a cell that begins to freeze meets a heat a hundred times its own: look again from there
        freezes = (at[:free] > freezing) & (new < freezing)
        new[freezes] = freezing * (1 + 1e-12)
        moved = float(np.abs(new - at[:free]).max())
        at[:free] = new
        if moved < CONVERGED_C:
            return at, curve.heat(at)[0]
    return None


def _advanced(
    shells: Shells, temps: FloatArray, held: FloatArray, step_s: float, halvings: int = _HALVINGS
) -> tuple[FloatArray, FloatArray]:
    """Temperatures and heat after a step, cut in halves where it will not settle whole."""
    after = _stepped(shells, temps, held, step_s)
    if after is not None:
        return after
    if not halvings:
        raise ArithmeticError(f"{MODEL}: a step of {step_s:g} s does not settle")
    half = _advanced(shells, temps, held, step_s / 2, halvings - 1)
    return _advanced(shells, *half, step_s / 2, halvings - 1)


def _begun(shells: Shells, start: FloatArray) -> At:
    temps = np.append(start, start[-1])
    return 0.0, temps, shells.curve.heat(temps)[0]


def _onward(shells: Shells, at: At) -> At:
    time, temps, heat = at
    step = max(_FIRST_STEP * shells.scale_s, _STEP_GROWTH * time)
    return time + step, *_advanced(shells, temps, heat, step)


class Marched:
    """One march as far as anybody has asked for it; the same thaw comes again with every change of what follows it.

    Parameters
    ----------
    shells : Shells
        The balance.
    start : FloatArray
        Temperatures of the cells at the start [°C].
    """

    def __init__(self, shells: Shells, start: FloatArray) -> None:
        self._shells = shells
        self._steps = [_begun(shells, start)]
        self._moments = [0.0]
        self._looked = -1
        self._ends: int | None = None
        self._thawed = False

    def __iter__(self) -> Iterator[At]:
        place = 0
        while True:
            if place == len(self._steps):
                self._go_on()
            yield self._steps[place]
            place += 1

    def until(self, last_s: float) -> tuple[FloatArray, FloatArray, FloatArray | None]:
        """Moments and heat up to a moment, the last ice, or rest; and the cells as the last ice went, when it did."""
        while self._looked < 0 or (self._ends is None and self._moments[self._looked] < last_s):
            if self._looked + 1 == len(self._steps):
                self._go_on()
            self._looked += 1
            self._look(self._steps[self._looked][1][:-1])
        place = bisect_left(self._moments, last_s, hi=self._looked)
        steps = self._steps[: place + 1]
        thawed = steps[-1][1][:-1] if self._thawed and place == self._ends else None
        return np.array(self._moments[: place + 1]), np.array([heat[:-1] for _, _, heat in steps]), thawed

    def _go_on(self) -> None:
        self._steps.append(_onward(self._shells, self._steps[-1]))
        self._moments.append(self._steps[-1][0])

    def _look(self, cells: FloatArray) -> None:
        medium, freezing = self._shells.medium_c, self._shells.curve.freezing
        self._thawed = medium >= freezing and float(cells.min()) >= freezing
        if self._thawed or float(np.max(np.abs(cells - medium))) < _SETTLED_C:
            self._ends = self._looked


@lru_cache(maxsize=96)
def marched(body: FrozenBody, start: bytes, medium_c: float, surface_h: float) -> Marched:
    """The march of a body in one medium; its steps hang on nothing else.

    ``start`` holds the cells at the start [°C], ``surface_h`` is the surface coefficient [W/m2 K].
    """
    return Marched(Shells.of(body, medium_c, surface_h), np.frombuffer(start))
