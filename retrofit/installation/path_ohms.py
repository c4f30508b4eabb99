"""The ohms of a run: from its wire and its joints, or as a meter read them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.provenance import Figure
from catalog.quantities.kinds import Kind
from catalog.wires import COPPER_PER_KELVIN, conductor
from retrofit.installation.paths import Path, Run, Wire

COLD = 20.0
"""Temperature at which wires are tabled and dials are taken to be marked [°C]."""

COPPER = COPPER_PER_KELVIN
"""Temperature coefficient of copper at 20 °C [1/K] (IACS)."""

_TOO_FEW = 0.8
"""Share of a wire's ohms at 20 °C below which a reading of the run cannot be right (assumed)."""


@dataclass(frozen=True)
class PathOhms:
    """What is known of the ohms of a run.

    Attributes
    ----------
    ohm : float
        At 20 °C [Ω]; 0 where nobody can tell.
    low, high : float
        Least and most [Ω]: tolerances, and a wire as hot as it gets.
    unknown : Message or None
        Why nobody can tell, and what to measure; None where it is known or not a question.
    """

    ohm: float = 0.0
    low: float = 0.0
    high: float = 0.0
    unknown: Message | None = None

    def __add__(self, other: PathOhms) -> PathOhms:
        """Return both in series."""
        return PathOhms(
            self.ohm + other.ohm,
            self.low + other.low,
            self.high + other.high,
            self.unknown or other.unknown,
        )


def figure_ohms(figure: Figure | None) -> PathOhms:
    """Return what a figure of ohms says; nothing at all where there is none."""
    if figure is None:
        return PathOhms()
    ohm = figure.si(Kind.RESISTANCE)
    half = 0.0 if figure.tolerance is None else figure.tolerance.si(ohm, Kind.RESISTANCE)
    return PathOhms(ohm, max(ohm - half, 0.0), ohm + half)


def path_ohms(path: Path, run: Run) -> PathOhms:
    """Return the ohms of a run.

    Parameters
    ----------
    path : Path
        What it is made of; what was measured wins.
    run : str
        Which one, for the message.

    Returns
    -------
    PathOhms
        R20·ℓ of the wire with its contacts; at the low end the copper alone, at the high end
        R20·ℓ·(1 + α·(T − 20 °C)). Of a wire of no length, of no known size, or whose measured
        ohms are fewer than its copper has, nobody can tell.
    """
    wire = PathOhms() if path.wire is None else _wire_ohms(path.wire, run)
    if path.measured is not None:
        read = figure_ohms(path.measured)
        if wire.unknown is None and read.high < _TOO_FEW * wire.low:
            return _contradicted(read, wire.low, run)
        return _bounded(read)
    contacts = figure_ohms(path.contacts)
    if contacts.high < 0.0:
        return _contradicted(contacts, 0.0, run)
    return wire if wire.unknown is not None else wire + _bounded(contacts)


def _contradicted(read: PathOhms, least: float, run: Run) -> PathOhms:
    values = {"ohm": SiValue(read.ohm, Kind.RESISTANCE), "least": SiValue(least, Kind.RESISTANCE)}
    return PathOhms(unknown=message("wires.contradict", run=message(f"run.{run}"), **values))


def _bounded(read: PathOhms) -> PathOhms:
    """Return ohms not below zero, where a meter read less within its error."""
    return replace(read, ohm=max(read.ohm, 0.0))


def _wire_ohms(wire: Wire, run: Run) -> PathOhms:
    where = message(f"run.{run}")
    length = wire.length.si(Kind.LENGTH)
    if length <= 0.0:
        return PathOhms(unknown=message("wires.no_length", run=where, text=str(wire.length)))
    try:
        found = conductor(wire.size)
    except UserError as error:
        return PathOhms(unknown=message("wires.no_size", run=where, problem=error.messages[0]))
    hot = COLD if wire.temperature is None else wire.temperature.si(Kind.TEMPERATURE)
    ohm = found.ohm_per_metre * length
    least = min(found.copper_ohm_per_metre * length, ohm)
    return PathOhms(ohm, least, ohm * (1.0 + COPPER * max(hot - COLD, 0.0)))
