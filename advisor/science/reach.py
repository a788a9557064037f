"""How far an enzyme gets: its source, the distance to it from any depth, and what is there after a time.

References
----------
.. [1] J. Crank, *The Mathematics of Diffusion*, 2nd ed., Oxford, 1975, ch. 2 and 3 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from advisor.science.constants import SECONDS_PER_HOUR
from advisor.science.history import FloatArray, require_fraction, require_not_negative, require_positive
from advisor.science.profile import surface_source_share
from advisor.science.validity import warn_outside

_BELL = np.linspace(-4.5, 4.5, 61)
_BELL_WEIGHTS = np.exp(-(_BELL**2) / 2) / np.exp(-(_BELL**2) / 2).sum()
"""A bell curve in standard deviations; even steps, since the mirrored profile has a corner at the face."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(48)
_TABLE_POINTS = 2000
_TABLE_REACH = 12.0
LONGEST_H = 72.0
"""Longest time for which a depth was tabled [h]."""


@dataclass(frozen=True, slots=True)
class Source:
    """An enzyme on a face, in score lines or in needle tracks.

    Parameters
    ----------
    strength : float
        What lies at the source, as percent of pineapple flesh [%]: near 100 for a film of plain pineapple puree,
        the share of it in a thin marinade, the same times its strength for another fruit.
    diffusivity_m2_s : float
        Diffusivity of the enzyme in meat [m2/s].
    film_m : float
        Thickness of a film that weakens as it gives [m]; without bound for one that stays.
    wiped_s : float
        Time from the start at which it is wiped off [s]; without bound for never.
    wipe_leaves : float
        Share of the film left by the wipe [-].

    Raises
    ------
    ValueError
        If the strength is negative, the diffusivity or the film not above zero, the time negative or the share
        not from 0 to 1.

    Notes
    -----
    The diffusivity of a protein in meat is known to a factor of two either way, at fridge heat; no depth of an
    enzyme in meat was found measured.
    Holds for raw meat.

    References
    ----------
    .. [1] Myoglobin in muscle, 1e-11 m2/s, 5e-12 to 2e-11 (from memory).

    Examples
    --------
    >>> Source(100.0, 1e-11).wipe_leaves
    1.0
    """

    strength: float
    diffusivity_m2_s: float
    film_m: float = math.inf
    wiped_s: float = math.inf
    wipe_leaves: float = 1.0

    def __post_init__(self) -> None:
        """Refuse a source that has no meaning."""
        require_not_negative(strength=self.strength)
        require_positive(diffusivity_m2_s=self.diffusivity_m2_s)
        require_fraction(wipe_leaves=self.wipe_leaves)
        if not self.film_m > 0:
            raise ValueError(f"film_m must lie above zero, got {self.film_m}")
        if not self.wiped_s >= 0:
            raise ValueError(f"wiped_s must not be negative, got {self.wiped_s}")


def film_thickness_m(dose_fraction: float, thickness_m: float, faces: int = 2) -> float:
    """Thickness of the film that a dose makes on the faces of a slab, p d / faces.

    Parameters
    ----------
    dose_fraction : float
        Mass of the dose over that of the meat [kg/kg].
    thickness_m : float
        Thickness of the piece [m].
    faces : int
        2 if both faces are covered, 1 if one is.

    Returns
    -------
    float
        Thickness [m].

    Raises
    ------
    ValueError
        If a value is not above zero, or faces is not 1 or 2.

    Warns
    -----
    OutsideRange
        If the share of the meat's weight lies outside 0 to 0.3.

    Notes
    -----
    Puree and meat taken as equally dense (they are to a tenth), the edges of the piece left out. Above 0.3 of the
    meat's weight it is a bath rather than a film, and it warns.

    References
    ----------
    None: a balance of mass.

    Examples
    --------
    >>> film_thickness_m(0.05, 0.02)
    0.0005
    """
    require_positive(dose_fraction=dose_fraction, thickness_m=thickness_m)
    if faces not in (1, 2):
        raise ValueError(f"faces must be 1 or 2, got {faces}")
    warn_outside("film of a marinade", "share of the meat's weight", dose_fraction, 0.0, 0.3)
    return dose_fraction * thickness_m / faces


def distance_to_score_m(
    depth_m: npt.ArrayLike, across_m: npt.ArrayLike, score_depth_m: float, spacing_m: float
) -> FloatArray:
    r"""Distance to the nearest open surface of a scored face: the face itself or the wall of a cut.

    .. math:: d = \min\left(z, \sqrt{x^2 + \max(0, z - z_s)^2}\right)

    Parameters
    ----------
    depth_m : array_like
        Depth below the face [m], any shape.
    across_m : array_like
        Way from a cut, square to it [m]; 0 is in the cut, half the spacing midway.
    score_depth_m : float
        Depth of the cuts [m].
    spacing_m : float
        Distance between cuts [m].

    Returns
    -------
    FloatArray
        Distance [m], shape of both together.

    Raises
    ------
    ValueError
        If a depth is negative, the cuts' depth is negative or the spacing not above zero.

    Notes
    -----
    Straight cuts into which the marinade runs to the bottom; pressed shut they take less. A plain face is a score
    depth of zero.
    Holds everywhere, for cuts that are straight and evenly spaced.

    References
    ----------
    None: geometry.

    Examples
    --------
    >>> distance_to_score_m([0.001, 0.005, 0.012], 0.002, 0.008, 0.010).round(4).tolist()
    [0.001, 0.002, 0.0045]
    """
    depth, across = np.broadcast_arrays(np.asarray(depth_m, np.float64), np.asarray(across_m, np.float64))
    require_not_negative(score_depth_m=score_depth_m)
    require_positive(spacing_m=spacing_m)
    _refuse_negative(depth)
    if score_depth_m == 0:
        return np.array(depth)
    beside = np.abs((across + spacing_m / 2) % spacing_m - spacing_m / 2)
    nearest = np.minimum(depth, np.hypot(beside, np.maximum(depth - score_depth_m, 0.0)))
    return np.asarray(nearest, dtype=np.float64)


def distance_to_track_m(
    depth_m: npt.ArrayLike, share_between: npt.ArrayLike, track_depth_m: float, spacing_m: float
) -> FloatArray:
    r"""Distance to the nearest needle track of a square grid, or to the face where that is nearer.

    .. math:: d = \min\left(z, \sqrt{x^2 + \max(0, z - z_t)^2}\right),\quad x = s\,a/\sqrt2

    Parameters
    ----------
    depth_m : array_like
        Depth below the face [m], any shape.
    share_between : array_like
        0 on a track, 1 at the place farthest from all, the middle of four [-].
    track_depth_m : float
        Depth of the tracks [m].
    spacing_m : float
        Distance between tracks [m].

    Returns
    -------
    FloatArray
        Distance [m], shape of both together.

    Raises
    ------
    ValueError
        If a depth is negative, the share not from 0 to 1, the tracks' depth negative or the spacing not above
        zero.

    Notes
    -----
    Holds everywhere as a distance. A track is a line: what spreads from it thins out faster than from a face, so the
    profile of a face at this distance says too much enzyme between tracks. That is the careful side for mush; promise
    no tenderness on it.

    References
    ----------
    None: geometry.

    Examples
    --------
    >>> distance_to_track_m(0.02, [0.0, 1.0], 0.04, 0.010).round(4).tolist()
    [0.0, 0.0071]
    """
    depth, share = np.broadcast_arrays(np.asarray(depth_m, np.float64), np.asarray(share_between, np.float64))
    require_not_negative(track_depth_m=track_depth_m)
    require_positive(spacing_m=spacing_m)
    _refuse_negative(depth)
    if not np.all((share >= 0) & (share <= 1)):
        raise ValueError("share_between must lie from 0 (on a track) to 1 (the middle of four)")
    beside = share * spacing_m / math.sqrt(2)
    nearest = np.minimum(depth, np.hypot(beside, np.maximum(depth - track_depth_m, 0.0)))
    return np.asarray(nearest, dtype=np.float64)


def _refuse_negative(depth: FloatArray) -> None:
    """Refuse a depth above the face."""
    if not np.all(np.isfinite(depth) & (depth >= 0)):
        raise ValueError("depth_m must be finite, zero or above")


def concentration(time_s: npt.ArrayLike, distance_m: npt.ArrayLike, source: Source) -> FloatArray:
    r"""Enzyme at a distance from its source, against the source at the start.

    After a wipe the share w of the film gives on as before, and what the rest had given spreads with nothing more
    coming and nothing lost:

    .. math:: c = w\,c_0(r,t) + (1-w)\int c_0(|r+\xi|, t_w)\,
        \frac{e^{-\xi^2/4D(t-t_w)}}{\sqrt{4\pi D(t-t_w)}}\,d\xi

    Parameters
    ----------
    time_s : array_like
        Time on the meat [s], shape that broadcasts with the distances.
    distance_m : array_like
        Distance to the nearest source [m].
    source : Source
        The enzyme; of its strength nothing is used.

    Returns
    -------
    FloatArray
        Ratio [-], from 0 to 1, shape of times and distances together.

    Raises
    ------
    ValueError
        If a time or distance is negative or not finite.

    Warns
    -----
    OutsideRange
        If the time lies outside 0 to 72 h.

    Notes
    -----
    One source alone: between two close ones the sum may be up to twice as much. Warns beyond three days.

    References
    ----------
    .. [1] Crank, eq. 2.45, 3.35 and 2.14 (from memory).

    Examples
    --------
    >>> concentration(86400.0, [0.0, 0.00093], Source(100.0, 1e-11)).round(2).tolist()
    [1.0, 0.48]
    """
    time, distance = np.broadcast_arrays(np.asarray(time_s, np.float64), np.asarray(distance_m, np.float64))
    warn_outside("depth of an enzyme", "time", time / SECONDS_PER_HOUR, 0.0, LONGEST_H, "h")
    going_on = surface_source_share(distance, source.diffusivity_m2_s * time, source.film_m)
    if not np.any(time > source.wiped_s) or source.wipe_leaves == 1:
        return going_on
    gone = source.diffusivity_m2_s * source.wiped_s
    after = source.diffusivity_m2_s * np.maximum(time - source.wiped_s, 0.0)
    kept, wiped = np.zeros_like(going_on), time > source.wiped_s
    if gone > 0:
        kept[wiped] = _spread_on(distance[wiped], gone, after[wiped], source.film_m)
    mixed = source.wipe_leaves * going_on + (1 - source.wipe_leaves) * kept
    return np.where(wiped, mixed, going_on)


def _spread_on(distance: FloatArray, gone: float, after: FloatArray, film_m: float) -> FloatArray:
    """What the film had given until `gone`, mirrored in the face and smeared by a bell curve for `after` more."""
    reach = _TABLE_REACH * math.sqrt(gone)
    table = np.linspace(0.0, reach, _TABLE_POINTS)
    given = surface_source_share(table, gone, film_m)
    narrow, broad = np.zeros_like(distance), np.zeros_like(distance)
    # A narrow bell is summed over itself, a broad one over the profile: each then sees a smooth other.
    for node, weight in zip(_BELL, _BELL_WEIGHTS, strict=True):
        narrow = narrow + weight * np.interp(np.abs(distance + np.sqrt(2 * after) * node), table, given, right=0.0)
    spread = np.maximum(after, gone)
    for node, weight in zip(_NODES, _WEIGHTS, strict=True):
        place = 0.5 * reach * (node + 1)
        bells = np.exp(-((distance - place) ** 2) / (4 * spread)) + np.exp(-((distance + place) ** 2) / (4 * spread))
        share = float(np.interp(place, table, given)) * 0.5 * reach * weight
        broad = broad + share * bells / np.sqrt(4 * np.pi * spread)
    return np.where(after < gone, narrow, broad)
