"""Meat in a pan or on a grill as it counts for kill: one face lies in the heat while the other gives heat off.

A time in the pan is a time for each side. That both sides get it at once is near enough for how far a sear warms the
middle of a thick piece; it is not for a thin piece that the pan alone must cook, whose last face to be turned down
has cooled again, nor for one that was never turned.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from advisor.course.roles import SEARS
from advisor.science.faces import leg_by_faces

if TYPE_CHECKING:
    from collections.abc import Callable

    from advisor.case.model import PlanStep
    from advisor.course.piece import FloatArray, Inside, Piece
    from advisor.knowledge.rulebase import Rulebase

FACES = 2


# Slopes between which those of the germs lie [K]: where the least is killed hangs a little on them.
SLOPES_C = (4.0, 10.0)


@dataclass(frozen=True, slots=True)
class Seared:
    """A sear as it counts for kill.

    Attributes
    ----------
    times_s : FloatArray
        Moments since the start of the step [s], shape (n,).
    coldest_c : FloatArray
        The place that has had the least heat [°C], shape (n,); nowhere in the meat was less killed.
    cells : FloatArray
        From the middle outward [°C], shape (n, cells), each the coldest of all that lie outside it.
    piece, inside : Piece, Inside
        The piece as the next step finds it: flat, the slowest shape, at the last of these temperatures.
    """

    times_s: FloatArray
    coldest_c: FloatArray
    cells: FloatArray
    piece: Piece
    inside: Inside


# Where heat comes from below, whatever the step is called; in a liquid it comes from all round.
FROM_BELOW = frozenset({"pan", "grill"})
AS_IN_AIR = frozenset({"oven", "reheat"})


def by_face(step: PlanStep) -> bool:
    """Whether a step heats one face at a time.

    Where it ends by a probe in the middle that tells more than a time, as long as the piece is turned.
    """
    if step.action not in SEARS and not (step.action in AS_IN_AIR and step.word("place") in FROM_BELOW):
        return False
    return _faces(step) < FACES if "until_core" in step.given else step.number("minutes") > 0


def _faces(step: PlanStep) -> int:
    return int(min(step.number("sides", FACES), FACES))


def each_face_s(step: PlanStep) -> float:
    """How long a step that was told by its time heats each face [s]: of a sear each side's time is told."""
    return step.number("minutes") * 60.0 / (1 if step.action in SEARS else FACES)


def seared(
    whole: Piece,
    inside: Inside,
    medium_c: float,
    surface_h: float,
    step: PlanStep,
    each_s: float,
    rulebase: Rulebase,
    moments: Callable[[float], FloatArray],
) -> Seared:
    """Walk a piece through a sear of one face, and of the other after it.

    Parameters
    ----------
    whole, inside : Piece, Inside
        The piece, and its temperatures at the start of the step.
    medium_c, surface_h : float
        What the face that is turned down feels [°C, W/m2 K].
    step : PlanStep
        The sear: how many sides.
    each_s : float
        How long each of them is heated [s].
    rulebase : Rulebase
        What the other face feels.
    moments : callable
        Moments at which a stay of so many seconds is looked at [s].

    Returns
    -------
    Seared
        From face to face, the place that has had the least heat stands for the middle.
    """
    flat = replace(whole, ends=replace(whole.ends, sides_mm=whole.ends.sides_mm[:1]), exponent=0.0)
    faces = _faces(step)
    line = _line(whole, inside, medium_c, surface_h)
    if whole.ice is not None and float(line.min()) < whole.ice.freezing_c:
        return _seared_with_ice(flat, line, medium_c, surface_h, moments(each_s * faces))
    room = rulebase.media["rest"].usual_c
    air = (float(room) if room is not None else 0.0, rulebase.parameter("turned_up_h"))
    across = np.concatenate([line[::-1], line])
    times, felt = [], []
    for turn in range(faces):
        down, up = (medium_c, surface_h), air
        first, second = (down, up) if turn == 0 else (up, down)
        stay = moments(each_s)
        made = leg_by_faces(flat.body, across, (first[0], second[0]), (first[1], second[1]), stay)
        times.append(stay + turn * each_s)
        felt.append(made)
        across = made[-1]
    places = np.concatenate(felt)
    cells = _coldest_inward(places)
    return Seared(np.concatenate(times), _least_heated(places), cells, flat, cells[-1])


def _line(whole: Piece, inside: Inside, medium_c: float, surface_h: float) -> FloatArray:
    """Temperatures along the thickness through the middle, the coldest line of a block that is heated [°C]."""
    return np.asarray(whole.stay(inside, medium_c, surface_h, np.zeros(1)).cells[0], dtype=np.float64)


def _least_heated(places: FloatArray) -> FloatArray:
    """History of the place with the least heat, by its peak and by what dies there; the colder where they differ."""
    peak = places.max(axis=0)
    died = (np.exp((places - peak.max()) * math.log(10) / slope).sum(axis=0) for slope in SLOPES_C)
    least = [int(np.argmin(by)) for by in (peak, *died)]
    return np.asarray(places[:, least].min(axis=1), dtype=np.float64)


def _coldest_inward(across: FloatArray) -> FloatArray:
    """From temperatures face to face to those from the middle outward, each the coldest of all that lie outside it."""
    half = across.shape[1] // 2
    outward = np.minimum(across[:, half:], across[:, :half][:, ::-1])
    return np.asarray(np.minimum.accumulate(outward[:, ::-1], axis=1)[:, ::-1], dtype=np.float64)


def _seared_with_ice(flat: Piece, line: FloatArray, medium_c: float, surface_h: float, times_s: FloatArray) -> Seared:
    """Frozen meat: as one slab twice as thick, of which the middle is the face that is never turned down.

    That the second face is heated later is not counted, nor what the other gives off to the air.
    """
    double = replace(flat, ends=replace(flat.ends, sides_mm=(FACES * flat.ends.sides_mm[0],)))
    felt = double.stay(double.even(float(line.min())), medium_c, surface_h, times_s)
    coldest = np.repeat(felt.cells.min(axis=1)[:, None], felt.cells.shape[1], axis=1)
    return Seared(times_s, coldest[:, 0], coldest, flat, coldest[-1])
