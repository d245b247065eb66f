"""The Moon's figure: its gravity field, and the axes in which that is given.

GL0660B of the GRAIL mission (Konopliv et al. 2013, J. Geophys. Res. Planets 118, 1415-1434) up to
degree 8. Its axes are the principal axes of DE421, whose librations the ephemeris carries.
Neglected: the monthly part of Earth's tide, 0.02 of what Earth's pull differs across the Moon
(Love number k2): at most 1 % of C22, and higher degrees.
"""

from __future__ import annotations

from math import factorial, sqrt
from typing import Literal, NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris

Degree = Literal[2, 8]  # the field's last: J2 and C22 alone, or all terms up to degree 8


class Term(NamedTuple):
    """One term of the field: degree, order, and coefficients C and S, not normalised."""

    n: int
    m: int
    c: float
    s: float


# Degree, order, C and S in units of 1e-6, fully normalised, to 1e-12: GL0660B.
_NORMALISED = (
    (3, 0, -3.197467, 0.0),
    (3, 1, 26.368046, 5.45452),
    (3, 2, 14.171529, 4.877963),
    (3, 3, 12.274951, -1.774396),
    (4, 0, 3.234805, 0.0),
    (4, 1, -6.013461, 1.664328),
    (4, 2, -7.116185, -6.777037),
    (4, 3, -1.350016, -13.445004),
    (4, 4, -6.00702, 3.926593),
    (5, 0, -0.223787, 0.0),
    (5, 1, -1.011618, -4.118916),
    (5, 2, 4.399522, 1.057121),
    (5, 3, 0.466173, 8.698894),
    (5, 4, 2.754167, 0.067622),
    (5, 5, 3.110837, -2.754569),
    (6, 0, 3.818426, 0.0),
    (6, 1, 1.52827, -2.599595),
    (6, 2, -4.397302, -2.167694),
    (6, 3, -3.317545, -3.427419),
    (6, 4, 0.341189, -4.058043),
    (6, 5, 1.454367, -10.341796),
    (6, 6, -4.684264, 7.229905),
    (7, 0, 5.593398, 0.0),
    (7, 1, 7.471681, -0.119744),
    (7, 2, -0.650139, 2.411111),
    (7, 3, 0.599421, 2.357326),
    (7, 4, -0.843699, 0.756512),
    (7, 5, -0.206808, 1.069306),
    (7, 6, -1.065338, 1.100467),
    (7, 7, -1.820296, -1.600027),
    (8, 0, 2.346828, 0.0),
    (8, 1, 0.004171, 1.098034),
    (8, 2, 3.009321, 1.93056),
    (8, 3, -1.889051, 0.954479),
    (8, 4, 3.408684, -0.528261),
    (8, 5, -1.248047, 2.918563),
    (8, 6, -1.660465, -2.114676),
    (8, 7, -1.509649, 3.268884),
    (8, 8, -2.485647, 2.116411),
)


def terms(degree: Degree) -> tuple[Term, ...]:
    """Return the terms of the field from degree 2 on: of degree 2, J2 and C22 are all there is."""
    second = (Term(2, 0, -c.J2_MOON, 0.0), Term(2, 2, c.C22_MOON, 0.0))
    return second + tuple(_plain(*row) for row in _NORMALISED if row[0] <= degree)


def _plain(n: int, m: int, cosine: float, sine: float) -> Term:
    """Undo the normalisation (Vallado 2013, eq. 8-22)."""
    scale = 1e-6 * sqrt((2 if m else 1) * (2 * n + 1) * factorial(n - m) / factorial(n + m))
    return Term(n, m, scale * cosine, scale * sine)


def principal_axes(t: float | np.ndarray) -> np.ndarray:
    """Return the matrix (..., 3, 3) from ICRF axes to the Moon's principal axes at `t` [TDB s].

    Its rows are the axis towards Earth, the one ahead on the Moon's way round, and the pole.
    """
    phi, theta, psi = np.moveaxis(ephemeris.librations(t), -1, 0)
    node, pole = (np.cos(phi), np.sin(phi)), (np.cos(theta), np.sin(theta))
    along = np.stack([node[0], node[1], 0.0 * phi], -1)
    across = np.stack([-pole[0] * node[1], pole[0] * node[0], pole[1]], -1)
    up = np.stack([pole[1] * node[1], -pole[1] * node[0], pole[0]], -1)
    near, far = np.cos(psi)[..., None], np.sin(psi)[..., None]
    return np.stack([near * along + far * across, near * across - far * along, up], -2)
