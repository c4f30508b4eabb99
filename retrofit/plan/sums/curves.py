"""The sums of a characteristic: what it gives at a value, and the value at which it gives that.

Each follows its class in ``catalog.curves`` and ``retrofit.dial`` and gives the same number.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic, Guessed
from catalog.curves.family import EndsOnly, scale_fraction
from catalog.curves.formulas import (
    PLATINUM_A,
    PLATINUM_B,
    PLATINUM_C,
    Beta,
    Platinum,
    SteinhartHart,
)
from catalog.curves.interpolated import Interpolated
from catalog.curves.monotone import MonotoneCubic, slopes
from catalog.message import Message, SiValue, message
from catalog.provenance import Basis, BasisKind
from catalog.quantities.kinds import Kind
from retrofit.dial import HeaterEnds, MarkedClass, MarkedDial
from retrofit.plan.sums.sum import COMPUTED, Input

HERMITE = "y0 + t·(m0 + t·(3·(y1 − y0) − 2·m0 − m1 + t·(m0 + m1 − 2·(y1 − y0))))"
"""Cubic between two points with the slopes m0, m1 there, times the distance of the points."""

_IEC = Basis(BasisKind.PUBLISHED, "IEC 60751")


@dataclass(frozen=True)
class Scales:
    """What the two sides of a curve are, and where its points come from.

    Attributes
    ----------
    value, output : Kind
        What is read, and what is given.
    bases : mapping of float to Basis
        Where the point at each value comes from [SI].
    law : Basis
        Where the rest comes from.
    """

    value: Kind
    output: Kind
    bases: Mapping[float, Basis]
    law: Basis

    def basis(self, x: float) -> Basis:
        """Return where the point at a value comes from."""
        near = [b for at, b in self.bases.items() if math.isclose(at, x, rel_tol=1e-12)]
        return near[0] if near else self.law

    def point(self, x: float, y: float, n: str) -> tuple[Input, Input]:
        """Return both numbers of a known point as inputs x<n> and y<n>."""
        basis = self.basis(x)
        return (
            Input(f"x{n}", message("sum.point_value"), SiValue(x, self.value), basis),
            Input(f"y{n}", message("sum.point_gives"), SiValue(y, self.output), basis),
        )


@dataclass(frozen=True)
class Worked:
    """A formula with its inputs, or the method where there is none."""

    formula: str
    inputs: tuple[Input, ...]
    method: Message | None = None


def likeliest(curve: Characteristic) -> Characteristic:
    """Return the curve that counts where several are plausible."""
    return likeliest(curve.likeliest) if isinstance(curve, Guessed) else curve


def _bare(symbol: str, key: str, value: float, basis: Basis = COMPUTED) -> Input:
    return Input(symbol, message(f"sum.{key}"), value, basis)


def _amount(symbol: str, key: str, value: SiValue, basis: Basis) -> Input:
    return Input(symbol, message(f"sum.{key}"), value, basis)


# --- value to output ----------------------------------------------------------------------------


def output_at(curve: Characteristic, x: float, scales: Scales) -> Worked:
    """Return how a curve's output at a value comes about, in the symbol x."""
    found = likeliest(curve)
    if isinstance(found, Interpolated):
        return _interpolated(found, x, scales)
    if isinstance(found, EndsOnly):
        return _ends(found, scales)
    if isinstance(found, Beta):
        return _beta(found, scales, "Rr·exp(β·(1/(x + 273.15) − 1/(Tr + 273.15)))")
    if isinstance(found, SteinhartHart):
        return _steinhart_hart(
            found,
            scales,
            "h = (a − 1/(x + 273.15))/(2·c); w = sqrt((b/(3·c))^3 + h^2); "
            "exp(cbrt(w − h) − cbrt(w + h))",
        )
    if isinstance(found, Platinum):
        cold = " + C·(x − 100)·x^3" if x < 0.0 else ""
        return _platinum(found, scales, f"R0·(1 + A·x + B·x^2{cold})", cold=x < 0.0)
    return _by_method(found, scales, "sum.method.inverse")


def _interpolated(curve: Interpolated, x: float, scales: Scales) -> Worked:
    n = _piece(curve.knots, x)
    (x0, y0), (x1, y1) = curve.points[n], curve.points[n + 1]
    ends = (*scales.point(x0, y0, "0"), *scales.point(x1, y1, "1"))
    for known, given, symbol in ((x0, y0, "0"), (x1, y1, "1")):
        if x == known:
            return Worked(f"y{symbol}", scales.point(known, given, symbol))
    if curve.straight:
        chord = "{0} + ({1} − {0})·(x − x0)/(x1 − x0)"
        line = chord.format("ln(y0)", "ln(y1)") if curve.log else chord.format("y0", "y1")
        return Worked(f"exp({line})" if curve.log else line, ends)
    outputs = np.array([y for _, y in curve.points])
    outputs = np.log(outputs) if curve.log else outputs
    if not curve.low <= x <= curve.high:
        return _by_method(curve, scales, "sum.method.beyond")
    inner = HERMITE.replace("y0", "ln(y0)").replace("y1", "ln(y1)") if curve.log else HERMITE
    formula = f"t = (x − x0)/(x1 − x0); {f'exp({inner})' if curve.log else inner}"
    return Worked(formula, (*ends, *_slopes(curve.knots, outputs, n)), message("sum.method.cubic"))


def _piece(knots: Array, x: float) -> int:
    """Return which piece between the knots a value lies on."""
    return int(np.clip(np.searchsorted(knots, x, side="right") - 1, 0, len(knots) - 2))


def _slopes(knots: Array, outputs: Array, n: int) -> tuple[Input, Input]:
    """Return the slopes at both ends of a piece times its width."""
    width, found = float(knots[n + 1] - knots[n]), slopes(knots, outputs)
    return (
        _bare("m0", "slope_before", float(found[n]) * width),
        _bare("m1", "slope_after", float(found[n + 1]) * width),
    )


def _ends_inputs(curve: EndsOnly, scales: Scales) -> tuple[Input, ...]:
    ends = (
        *scales.point(curve.low, curve.at_low, "0"),
        *scales.point(curve.high, curve.at_high, "1"),
    )
    return (*ends, _bare("q", "q", curve.q, Basis(BasisKind.ASSUMED)))


def _ends(curve: EndsOnly, scales: Scales) -> Worked:
    formula = "f = (x − x0)/(x1 − x0); s = f/(f + q·(1 − f)); y0 + s·(y1 − y0)"
    return Worked(formula, _ends_inputs(curve, scales))


def _beta(curve: Beta, scales: Scales, formula: str) -> Worked:
    return Worked(
        formula,
        (
            Input(
                "Rr", message("sum.ohms_at"), SiValue(curve.resistance, scales.output), scales.law
            ),
            _amount("Tr", "at", SiValue(curve.reference, Kind.TEMPERATURE), scales.law),
            _bare("β", "beta", curve.beta, scales.law),
        ),
    )


def _steinhart_hart(curve: SteinhartHart, scales: Scales, formula: str) -> Worked:
    named = (("a", curve.a), ("b", curve.b), ("c", curve.c))
    return Worked(
        formula, tuple(_bare(name, "coefficient", value, scales.law) for name, value in named)
    )


def _platinum(curve: Platinum, scales: Scales, formula: str, *, cold: bool) -> Worked:
    named = [("A", PLATINUM_A), ("B", PLATINUM_B), *([("C", PLATINUM_C)] if cold else [])]
    ohms = Input(
        "R0", message("sum.ohms_at_zero"), SiValue(curve.resistance, scales.output), scales.law
    )
    return Worked(formula, (ohms, *(_bare(s, "coefficient", v, _IEC) for s, v in named)))


# --- output to value ----------------------------------------------------------------------------


def value_at(curve: Characteristic, output: float, scales: Scales) -> Worked:
    """Return how the value comes about at which a curve gives an output, in the symbol R."""
    found = likeliest(curve)
    if isinstance(found, EndsOnly):
        formula = "s = (R − y0)/(y1 − y0); f = q·s/(1 + (q − 1)·s); x0 + f·(x1 − x0)"
        return Worked(formula, _ends_inputs(found, scales))
    if isinstance(found, MarkedDial):
        return _marked(found, output, scales)
    if isinstance(found, HeaterEnds):
        return _heater(found, scales)
    if isinstance(found, Beta):
        formula = "1/(1/(Tr + 273.15) + ln(R/Rr)/β) − 273.15"
        return _beta(found, scales, formula)
    if isinstance(found, SteinhartHart):
        return _steinhart_hart(found, scales, "1/(a + b·ln(R) + c·ln(R)^3) − 273.15")
    if isinstance(found, Platinum) and output >= found.resistance:
        formula = "(−A + sqrt(A^2 − 4·B·(1 − R/R0)))/(2·B)"
        return _platinum(found, scales, formula, cold=False)
    if isinstance(found, Interpolated) and found.straight:
        return _line_back(found, output, scales)
    key = "sum.method.class" if isinstance(found, MarkedClass) else "sum.method.inverse"
    return _by_method(found, scales, key)


def _line_back(curve: Interpolated, output: float, scales: Scales) -> Worked:
    sign = 1.0 if curve.rising else -1.0
    outputs = np.array([sign * y for _, y in curve.points])
    n = _piece(outputs, sign * output)
    (x0, y0), (x1, y1) = curve.points[n], curve.points[n + 1]
    ends = (*scales.point(x0, y0, "0"), *scales.point(x1, y1, "1"))
    formula = "x0 + (x1 − x0)·(R − y0)/(y1 − y0)"
    if curve.log:
        formula = "x0 + (x1 − x0)·(ln(R) − ln(y0))/(ln(y1) − ln(y0))"
    return Worked(formula, ends)


def _marked(dial: MarkedDial, output: float, scales: Scales) -> Worked:
    """Return the family law and the cubic over it that meets every mark."""
    first, last = dial.points[0], dial.points[-1]
    ohms = np.array([y for _, y in dial.points])
    way = (ohms - first[1]) / (last[1] - first[1])
    knots = scale_fraction(way, dial.q)
    at = float(scale_fraction(np.array([(output - first[1]) / (last[1] - first[1])]), dial.q)[0])
    bend = MonotoneCubic(knots, dial.knots)
    if not (math.isfinite(at) and knots[0] <= at <= knots[-1]):
        return _by_method(dial, scales, "sum.method.beyond")
    n = _piece(bend.x, at)
    (xa, ya), (xb, yb) = dial.points[n], dial.points[n + 1]
    named = (("Ra", ya, xa), ("Rb", yb, xb), ("Rf", first[1], first[0]), ("Rl", last[1], last[0]))
    marks = [
        Input(s, message("sum.mark_needs"), SiValue(y, scales.output), scales.basis(x))
        for s, y, x in named
    ]
    shown = [
        Input(s, message("sum.mark_value"), SiValue(x, scales.value), scales.basis(x))
        for s, x in (("y0", xa), ("y1", xb))
    ]
    law = "q·({0} − Rf)/(Rl − Rf + (q − 1)·({0} − Rf))"
    formula = (
        f"f = {law.format('R')}; fa = {law.format('Ra')}; fb = {law.format('Rb')}; "
        f"t = (f − fa)/(fb − fa); {HERMITE}"
    )
    fitted = _bare("q", "q_fitted", dial.q)
    found = (*marks, *shown, fitted, *_slopes(bend.x, bend.y, n))
    return Worked(formula, found, message("sum.method.marks"))


def _heater(dial: HeaterEnds, scales: Scales) -> Worked:
    formula = (
        "hot = 1/(y1 + Rh)^m; cold = 1/(y0 + Rh)^m; "
        "x0 + (1/(R + Rh)^m − cold)/(hot − cold)·(x1 − x0)"
    )
    ends = (
        *scales.point(dial.low, dial.at_low, "0"),
        *scales.point(dial.high, dial.at_high, "1"),
    )
    winding = Input(
        "Rh", message("cause.heater"), SiValue(dial.heater, Kind.RESISTANCE), scales.law
    )
    return Worked(
        formula, (*ends, winding, _bare("m", "power", dial.power, Basis(BasisKind.ASSUMED)))
    )


def _by_method(curve: Characteristic, scales: Scales, key: str) -> Worked:
    """Return the points of a curve where only a method gives the number."""
    points = getattr(curve, "points", ())
    inputs = tuple(
        Input(
            "",
            message("sum.point_at", at=SiValue(x, scales.value)),
            SiValue(y, scales.output),
            scales.basis(x),
        )
        for x, y in points
    )
    return Worked("", inputs, message(key))
