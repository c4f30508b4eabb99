"""The sum of what the dial sees of the sender: a path of plain ohms, or a network solved."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np

from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    RatioMovement,
)
from catalog.provenance import UNSTATED, Basis, BasisKind, Figure
from catalog.quantities.kinds import Kind
from catalog.wires import conductor
from retrofit.circuit.equations import Element, ElementKind
from retrofit.installation import PLACES, RUNS, Installation
from retrofit.installation.path_ohms import path_ohms
from retrofit.plan.causes import cause_says
from retrofit.plan.document import Pairing
from retrofit.plan.stages import supplies_of
from retrofit.plan.sums.curves import Worked
from retrofit.plan.sums.sum import COMPUTED, ENTERED, Input
from retrofit.reading import Needle
from retrofit.wired import SECOND, Supplies, wired

_MEASURED = Basis(BasisKind.MEASURED)

_KINDS = {
    ElementKind.RESISTOR: Kind.RESISTANCE,
    ElementKind.VOLTAGE_SOURCE: Kind.VOLTAGE,
    ElementKind.CURRENT_SOURCE: Kind.CURRENT,
}

_CAUSED = frozenset(
    {*PLACES, *RUNS, "signal wire", "sender earth", "coil", "earth coil", "supply coil", "heater"}
    | {"input", "reference", "supply", "lamp"}
)
"""Elements that the bands have words for already."""


def seen_of(pairing: Pairing, needle: Needle, ohms: float, seen: float) -> Worked:
    """Return how what the dial sees comes about, in the symbol R for the sender's output.

    Parameters
    ----------
    pairing : Pairing
        Parts, trim and installation.
    needle : Needle
        Their needle.
    ohms, seen : float
        What the sender gives and what the dial sees of it [Ω, V or A].
    """
    if pairing.sender.signal is not Kind.RESISTANCE:
        return Worked("R", (), message("sum.method.signal"))
    gauge, installation = pairing.gauge, pairing.installation
    volts = supplies_of(gauge, installation)
    at = Supplies(volts.volts[:1], None if volts.battery is None else volts.battery[:1])
    circuit = wired(gauge, installation, pairing.trim, at)
    if circuit is None:
        return _path(pairing)
    told = tuple(elements(pairing, circuit.network.elements))
    method = message("sum.method.network", nodes=len(circuit.network.nodes), elements=len(told))
    if not math.isfinite(seen) or not math.isfinite(ohms):
        return Worked("", told, method)
    law = needle.apparent.law
    named = zip("abcd", (law.a, law.b, law.c, law.d), strict=True)
    inputs = [
        Input(symbol, message("sum.of_network"), float(value[0]), COMPUTED)
        for symbol, value in named
    ]
    return Worked("(a·R + b)/(c·R + d)", (*inputs, *told), method)


def _path(pairing: Pairing) -> Worked:
    """Return the sender's path as plain ohms, where the gauge's coils are not known."""
    installation = pairing.installation
    trim = {one.place: one.value.si(Kind.RESISTANCE) for one in pairing.trim}
    formula, inputs = "R", []

    def resistor(symbol: str, place: str, ohm: float) -> None:
        basis = _of_element(pairing, place)
        inputs.append(Input(symbol, cause_says(place), SiValue(ohm, Kind.RESISTANCE), basis))

    def series(symbol: str, place: str, ohm: float) -> None:
        nonlocal formula
        if ohm != 0.0:
            resistor(symbol, place, ohm)
            formula = f"{formula} + {symbol}"

    def across(symbol: str, place: str, ohm: float | None) -> None:
        nonlocal formula
        if ohm is not None:
            resistor(symbol, place, ohm)
            formula = f"({formula})·{symbol}/({formula} + {symbol})"

    across("Rp", "across sender", trim.get("across sender"))
    series("Re", "sender earth", installation.sender_earth_ohms)
    engine = path_ohms(installation.engine_earth, "engine earth").ohm
    series("Rm", "engine earth", engine)
    series("Rs", "series at sender", trim.get("series at sender", 0.0))
    if installation.second is not None:
        formula = f"2·({formula})"
    series("Rw", "signal wire", path_ohms(installation.signal, "signal").ohm)
    across("Rq", "signal to earth", trim.get("signal to earth"))
    series("Rg", "series at gauge", trim.get("series at gauge", 0.0))
    key = "sum.method.path" if installation.second is None else "sum.method.path_shared"
    return Worked(formula, tuple(inputs), message(key))


def elements(pairing: Pairing, found: Mapping[str, Element]) -> Iterator[Input]:
    """Give the elements of a network as inputs, in their order.

    Parameters
    ----------
    pairing : Pairing
        Where they come from.
    found : mapping of str to Element
        By name.
    """
    for name, element in found.items():
        value = SiValue(float(np.ravel(element.value)[0]), _KINDS[element.kind])
        yield Input("", element_says(name), value, _of_element(pairing, name))


def element_says(name: str) -> Message:
    """Return the words for an element of a network."""
    if name.startswith(SECOND):
        inner = element_says(name.removeprefix(SECOND))
        return message("sum.element.second", element=inner)
    if name in _CAUSED or name.startswith("load "):
        return cause_says(name)
    return message(f"sum.element.{name}")


def _of_element(pairing: Pairing, name: str) -> Basis:
    """Return where the number of an element comes from."""
    installation = pairing.installation
    if name.startswith(SECOND):
        second = installation.second
        inner = name.removeprefix(SECOND)
        return ENTERED if second is None else _of_gauge(second.gauge, inner) or ENTERED
    if name == "sender earth":
        return _of_figure(installation.sender_earth)
    run = "signal" if name == "signal wire" else name
    for one in RUNS:
        if one == run:
            return _of_run(installation, one)
    for load in installation.loads:
        if name == f"load {load.name}" and load.watts is None:
            return _of_figure(load.amperes)
    return _of_gauge(pairing.gauge, name) or ENTERED


def _of_figure(figure: Figure | None) -> Basis:
    return ENTERED if figure is None or figure.basis == UNSTATED else figure.basis


def _of_run(installation: Installation, run: str) -> Basis:
    path = next(installation.path(one) for one in RUNS if one == run)
    if path.measured is not None:
        return _of_figure(path.measured)
    if path.wire is None:
        return _of_figure(path.contacts)
    try:
        return conductor(path.wire.size).basis
    except UserError:
        return ENTERED


def _of_gauge(gauge: Gauge, name: str) -> Basis | None:
    """Return where a number of the movement comes from, None where it is no such number."""
    movement = gauge.movement
    if name in ("inside", "inside ohms"):
        return _MEASURED
    figures: dict[str, Figure | None] = {}
    if isinstance(movement, RatioMovement):
        if movement.supply_coil is None and name in ("supply coil", "earth coil"):
            return _MEASURED
        figures = {"supply coil": movement.supply_coil, "earth coil": movement.earth_coil}
    elif isinstance(movement, HeaterMovement):
        figures = {"heater": movement.heater}
    elif isinstance(movement, CoilMovement):
        figures = {"coil": movement.coil}
    elif isinstance(movement, ElectronicMovement):
        figures = {"input": movement.pull_up, "reference": movement.reference}
    return _of_figure(figures[name]) if name in figures else None
