r"""Acid and soda on meat: how sour it gets, how deep, and what that does.

Meat buffers: its pH moves by what it is given over its buffering capacity,

.. math:: \Delta \mathrm{pH} = -n / \beta

with n the acid that gives up its proton [mol/kg] and β about 0.05 mol/(kg pH).

References
----------
.. [1] Buffering of meat, 0.04 to 0.06 mol/(kg pH) (from memory).
.. [2] Dissociation constants at 25 °C, as in any handbook (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from advisor.science.history import require_not_negative, require_positive
from advisor.science.validity import warn_outside

_HALVINGS = 80
_LOWEST_PH, _HIGHEST_PH = 2.0, 9.5
_CHECKED_PH = (4.5, 7.0)
"""Between them the buffering of meat is near constant; beyond, its acid and its base groups add to it."""

_PH_ENDS = (0.0, 14.0)


@dataclass(frozen=True, slots=True)
class Buffer:
    """Something sour or alkaline, by what makes it so.

    Parameters
    ----------
    kg_per_mol : float
        Molar mass [kg/mol].
    pka : tuple of float
        Dissociation constants as pKa [-], one for each proton it may give or take.
    base : bool
        Whether it comes as its salt and takes protons.

    Raises
    ------
    ValueError
        If the mass is not above zero or there is no constant.

    Notes
    -----
    Holds everywhere as a record of constants, at 25 °C in water; in meat they are lower by a tenth or two.

    References
    ----------
    .. [1] Handbook values (from memory).

    Examples
    --------
    >>> ACETIC.pka
    (4.76,)
    """

    kg_per_mol: float
    pka: tuple[float, ...]
    base: bool = False

    def __post_init__(self) -> None:
        """Refuse what is neither sour nor alkaline."""
        require_positive(kg_per_mol=self.kg_per_mol)
        if not self.pka:
            raise ValueError("pka needs at least one constant")

    def protons(self, ph: float) -> float:
        """Protons given [mol/mol] at a pH; those taken are below zero."""
        free = sum(1 / (1 + 10 ** (pka - ph)) for pka in self.pka)
        return free - len(self.pka) if self.base else free


ACETIC = Buffer(0.06005, (4.76,))
"""Of vinegar."""
LACTIC = Buffer(0.09008, (3.86,))
"""Of yogurt and buttermilk."""
CITRIC = Buffer(0.19212, (3.13, 4.76, 6.40))
"""Of lemon and lime."""
BICARBONATE = Buffer(0.08401, (6.35,), base=True)
"""Baking soda: takes a proton and leaves as carbonic acid."""


def ph_after(ph: float, buffer: Buffer, kg_per_kg: float, buffering_mol_kg_ph: float) -> float:
    r"""Acidity of meat that has taken up an acid or soda evenly.

    .. math:: n\,h(\mathrm{pH}) = \beta\,(\mathrm{pH}_0 - \mathrm{pH}),\qquad
        h = \sum_i \frac{1}{1+10^{\mathrm{p}K_i-\mathrm{pH}}}

    Parameters
    ----------
    ph : float
        Acidity of the meat before, pH₀ [-].
    buffer : Buffer
        What it takes up.
    kg_per_kg : float
        How much of it, over the meat [kg/kg].
    buffering_mol_kg_ph : float
        Buffering capacity β of the meat [mol/(kg pH)].

    Returns
    -------
    float
        Acidity after [-].

    Raises
    ------
    ValueError
        If the pH is not from 2 to 9.5, the amount negative or the capacity not above zero.

    Warns
    -----
    OutsideRange
        If the pH lies outside 4.5 to 7.

    Notes
    -----
    Weak acids give only part of their protons, soda takes only part of its own while its gas stays in the meat; both
    are counted. The capacity is taken as constant, which holds from pH 4.5 to 7; outside it warns. Good to 0.2 of a
    unit where the capacity is known to a fifth. Under vacuum or in hours the gas leaves, and soda lifts the pH by up
    to twice as much: :func:`ph_after_strong` with all of it is that end.

    References
    ----------
    .. [1] Charge balance of weak acids, any text of chemistry (from memory).

    Examples
    --------
    >>> round(ph_after(5.6, LACTIC, 0.0045, 0.05), 1)
    4.7
    """
    if not _LOWEST_PH <= ph <= _HIGHEST_PH:
        raise ValueError(f"ph of meat must lie from {_LOWEST_PH} to {_HIGHEST_PH}, got {ph}")
    require_not_negative(kg_per_kg=kg_per_kg)
    require_positive(buffering_mol_kg_ph=buffering_mol_kg_ph)
    moles = kg_per_kg / buffer.kg_per_mol
    low, high = _PH_ENDS
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        # Given protons rise with the pH and what meat has taken falls: one crossing.
        too_high = moles * buffer.protons(middle) > buffering_mol_kg_ph * (ph - middle)
        low, high = (low, middle) if too_high else (middle, high)
    after = 0.5 * (low + high)
    warn_outside("acidity of meat", "pH", after, *_CHECKED_PH)
    return after


def ph_after_strong(ph: float, acid_mol_kg: float, buffering_mol_kg_ph: float) -> float:
    """Acidity of meat that has taken up protons, or lost them, pH₀ - n/β.

    Parameters
    ----------
    ph : float
        Acidity before [-].
    acid_mol_kg : float
        Protons taken up [mol/kg]; below zero for a base.
    buffering_mol_kg_ph : float
        Buffering capacity [mol/(kg pH)].

    Returns
    -------
    float
        Acidity after [-].

    Raises
    ------
    ValueError
        If the pH is not from 2 to 9.5, the amount is not finite or the capacity not above zero.

    Warns
    -----
    OutsideRange
        If the pH lies outside 4.5 to 7.

    Notes
    -----
    The definition of the capacity; warns where it leaves pH 4.5 to 7.

    References
    ----------
    .. [1] See the module.

    Examples
    --------
    >>> round(ph_after_strong(5.6, 0.025, 0.05), 2)
    5.1
    """
    if not _LOWEST_PH <= ph <= _HIGHEST_PH:
        raise ValueError(f"ph of meat must lie from {_LOWEST_PH} to {_HIGHEST_PH}, got {ph}")
    require_positive(buffering_mol_kg_ph=buffering_mol_kg_ph)
    if not math.isfinite(acid_mol_kg):
        raise ValueError(f"acid_mol_kg must be finite, got {acid_mol_kg}")
    after = ph - acid_mol_kg / buffering_mol_kg_ph
    warn_outside("acidity of meat", "pH", after, *_CHECKED_PH)
    return after


def retarded_diffusivity(free_m2_s: float, acid_mol_kg: float, ph_fall: float, buffering_mol_kg_ph: float) -> float:
    r"""Diffusivity of the sour front, held up by the meat that it has to turn.

    .. math:: D = \frac{D_0}{1 + \beta\,\Delta\mathrm{pH}/c}

    Parameters
    ----------
    free_m2_s : float
        Diffusivity D₀ of the acid in meat that would not bind it [m2/s].
    acid_mol_kg : float
        Protons c that the marinade can give where it touches the meat [mol/kg].
    ph_fall : float
        Fall of the pH that counts as sour [-].
    buffering_mol_kg_ph : float
        Buffering capacity β [mol/(kg pH)].

    Returns
    -------
    float
        Diffusivity [m2/s]; its depth after a time is sqrt(D t).

    Raises
    ------
    ValueError
        If a value is not above zero, the fall may be zero.

    Warns
    -----
    OutsideRange
        If the fall of pH lies outside 0 to 2.5.

    Notes
    -----
    A marinade strong against the buffer is hardly held up, a weak one stays in the outermost millimetre. An
    estimate: no depth of the sour front was found measured. Warns for a fall of more than 2.5 units.

    References
    ----------
    .. [1] J. Crank, *The Mathematics of Diffusion*, 2nd ed., 1975, sec. 14.2, bound and free (from memory).

    Examples
    --------
    >>> retarded_diffusivity(4e-10, 0.05, 1.0, 0.05)
    2e-10
    """
    require_positive(free_m2_s=free_m2_s, acid_mol_kg=acid_mol_kg, buffering_mol_kg_ph=buffering_mol_kg_ph)
    require_not_negative(ph_fall=ph_fall)
    warn_outside("depth of the sour front", "fall of pH", ph_fall, 0.0, 2.5)
    return free_m2_s / (1 + buffering_mol_kg_ph * ph_fall / acid_mol_kg)


def sour_depth_m(diffusivity_m2_s: float, time_s: float) -> float:
    r"""Depth of the sour front, :math:`\sqrt{Dt}`.

    Parameters
    ----------
    diffusivity_m2_s : float
        Diffusivity of the front [m2/s], :func:`retarded_diffusivity`.
    time_s : float
        Time in the acid [s].

    Returns
    -------
    float
        Depth [m].

    Raises
    ------
    ValueError
        If the diffusivity is not above zero or the time negative.

    Warns
    -----
    OutsideRange
        If the time lies outside 0 to 48 h.

    Notes
    -----
    Open lean faces, one side, well under half the thickness. Beyond two days it warns: acid then also swells and
    opens the meat.

    References
    ----------
    .. [1] Crank, eq. 2.45 (from memory).

    Examples
    --------
    >>> round(sour_depth_m(1e-10, 4 * 3600.0) * 1000, 1)
    1.2
    """
    require_positive(diffusivity_m2_s=diffusivity_m2_s)
    require_not_negative(time_s=time_s)
    warn_outside("depth of the sour front", "time", time_s / 3600, 0.0, 48.0, "h")
    return math.sqrt(diffusivity_m2_s * time_s)
