"""Limits of diameters by the formulae of the standards, all of them from memory.

Where a table was seen, ``limits.csv`` holds its value and these formulae are not asked.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.provenance import Basis, BasisKind
from catalog.threads.thread import INCH

ISO_965 = Basis(BasisKind.MEMORY, "ISO 965-1 formulae, grade 6, position g for males")
ASME_B1_1 = Basis(BasisKind.MEMORY, "ASME B1.1 formulae, classes 2A and 2B")

_R40 = tuple(
    float(text)
    for text in (
        "100 106 112 118 125 132 140 150 160 170 180 190 200 212 224 236 250 265 280 300 "
        "315 335 355 375 400 425 450 475 500 530 560 600 630 670 710 750 800 850 900 950 1000"
    ).split()
)
_STEPS_MM = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0)


@dataclass(frozen=True)
class Deviations:
    """Lowest and highest deviation from the basic size of each diameter [m]."""

    male_major: tuple[float, float]
    male_pitch: tuple[float, float]
    female_pitch: tuple[float, float]
    female_minor: tuple[float, float]


def preferred(micrometres: float) -> float:
    """Return the number of the R40 series nearest in ratio, to which ISO 965-1 rounds [µm].

    Examples
    --------
    >>> preferred(233.3), preferred(111.0)
    (236.0, 112.0)
    """
    decade = 10.0 ** (math.floor(math.log10(micrometres)) - 2)
    values = [value * decade for value in _R40]
    return min(values, key=lambda value: abs(math.log(value / micrometres)))


def iso_965(major: float, pitch: float) -> Deviations:
    """Return the deviations of a metric thread 6g/6H.

    es = −(15 + 11 P), Td = 180 P^⅔ − 3.15/√P, Td2 = 90 P^0.4 d^0.1, TD2 = 1.32 Td2,
    TD1 = 230 P^0.7 (from 1 mm of pitch) [µm, P and d in mm], rounded to R40; d is the geometric
    mean of its step of diameters. ISO 965-1, from memory.

    Parameters
    ----------
    major, pitch : float
        Basic sizes [m], pitch 1 mm or more.

    Returns
    -------
    Deviations
        [m].

    Notes
    -----
    Tests: ``tests/published/test_threads_metric.py``; the standard's tables smooth some values
    (TD2 at 1.5 mm of pitch is 190 µm, here 180), which ``limits.csv`` then holds.

    Examples
    --------
    >>> [round(1e6 * edge) for edge in iso_965(10e-3, 1e-3).male_pitch]
    [-138, -26]
    """
    p, d = 1e3 * pitch, 1e3 * major
    top = next(step for step in _STEPS_MM if d <= step)
    mean = math.sqrt(top * _STEPS_MM[_STEPS_MM.index(top) - 1])
    es = -round(15.0 + 11.0 * p)
    crest = preferred(180.0 * p ** (2.0 / 3.0) - 3.15 / math.sqrt(p))
    flank = 90.0 * p**0.4 * mean**0.1
    return Deviations(
        male_major=((es - crest) * 1e-6, es * 1e-6),
        male_pitch=((es - preferred(flank)) * 1e-6, es * 1e-6),
        female_pitch=(0.0, preferred(1.32 * flank) * 1e-6),
        female_minor=(0.0, preferred(230.0 * p**0.7) * 1e-6),
    )


def asme_b1_1(major: float, pitch: float) -> Deviations:
    """Return the deviations of a unified thread 2A/2B, major diameter 1/4 in or more.

    Td2 = 0.0015 D^⅓ + 0.0015 Le^½ + 0.015 P^⅔ with Le = D, allowance 0.3 Td2, Td = 0.06 P^⅔,
    TD2 = 1.3 Td2, TD1 = 0.25 P − 0.4 P² [in]. ASME B1.1, from memory.

    Parameters
    ----------
    major, pitch : float
        Basic sizes [m].

    Returns
    -------
    Deviations
        [m].

    Notes
    -----
    Tests: ``tests/published/test_threads_unified.py``.

    Examples
    --------
    >>> [round(edge / 0.0254, 4) for edge in asme_b1_1(0.375 * 0.0254, 0.0254 / 24).male_pitch]
    [-0.0049, -0.0011]
    """
    p, d = pitch / INCH, major / INCH
    flank = 0.0015 * d ** (1.0 / 3.0) + 0.0015 * math.sqrt(d) + 0.015 * p ** (2.0 / 3.0)
    allowance = -0.3 * flank
    return Deviations(
        male_major=((allowance - 0.06 * p ** (2.0 / 3.0)) * INCH, allowance * INCH),
        male_pitch=((allowance - flank) * INCH, allowance * INCH),
        female_pitch=(0.0, 1.3 * flank * INCH),
        female_minor=(0.0, (0.25 * p - 0.4 * p * p) * INCH),
    )


NPT_TURNS = 1.0
"""Turns by which an NPT gauge plane may lie either way (ASME B1.20.1, from memory)."""

ISO_7_MALE_TURNS = 1.0
ISO_7_FEMALE_TURNS = 1.25
"""Turns of R, and of Rc and Rp, either way (ISO 7-1, from memory)."""

NPT_BLUNTER_CREST = {27: 0.063, 18: 0.055, 14: 0.045}
"""Deepest less shallowest crest truncation by turns per inch, over the pitch: 0.096, 0.088 and
0.078 less 0.033 (ASME B1.20.1, from memory)."""

FEMALE_ROOT_HIGH = 0.793857
"""Largest root diameter of a 60° female less its largest pitch diameter, over the pitch, 11/12
of the sharp triangle (ASME B1.1 and B1.13M, from memory)."""
