"""The stage that proves that no resistors can keep a pairing within its allowed errors."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, message
from catalog.parts.gauge import CoilMovement, ElectronicMovement, Gauge, HeaterMovement
from catalog.quantities.kinds import Kind
from retrofit.movements import path_extra
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.memo import staged
from retrofit.plan.stages import needle_of, supplies_of
from retrofit.terminals import SourceOhms, coils_of, measured_source
from retrofit.trim.proof import (
    ProofOfNo,
    Right,
    Surroundings,
    Turning,
    proof_of_no,
    targets,
    unproven,
)
from retrofit.trim.pull_up import source_of_coils

POINTS = 41
"""Values of the range at which a proof is sought, besides the marks; more find no other pair
in practice, and any one pair is proof enough."""


@staged
def proof_of(pairing: Pairing, duty: Duty) -> ProofOfNo | Message | None:
    """Return the proof that no resistors in the sender's path can do it.

    Parameters
    ----------
    pairing : Pairing
        Gauge, sender and what they hang on; its own trim does not count.
    duty : Duty
        The range and the marks, with the error allowed at each.

    Returns
    -------
    ProofOfNo, Message or None
        None where two values by two nothing forbids it; the message says what is missing to
        tell.
    """
    needle = needle_of(replace(pairing, trim=()))
    if isinstance(needle, Message):
        return needle
    if pairing.gauge.signal is not Kind.RESISTANCE:
        return message("movement.trim_on_signal")
    right = _right(duty)
    if right is None:
        return message("check.mark.nothing_allowed")
    earth = path_extra(pairing.installation)
    wanted = targets(needle, earth, right)
    return proof_of_no(wanted, _surroundings(pairing, duty)) or unproven(wanted, duty.kind)


def _right(duty: Duty) -> Right | None:
    """Return the values to look at with what counts as right there, None if nobody said."""
    points: list[tuple[float, float]] = []
    general = duty.allowed_at(None)
    if general is not None:
        points += [(float(x), general) for x in np.linspace(*duty.span, POINTS)]
    for mark in duty.marks:
        allowed = duty.allowed_at(mark)
        if allowed is not None:
            points.append((mark.at.si(duty.kind), allowed))
    if not points:
        return None
    at: Array = np.array([x for x, _ in points])
    allowed_there: Array = np.array([allowed for _, allowed in points])
    return Right(at, at - allowed_there, at + allowed_there)


def _surroundings(pairing: Pairing, duty: Duty) -> Surroundings:
    returns = {
        "body": Turning.EARTHED,
        "insulated": Turning.INSULATED,
        "either": Turning.UNKNOWN,
        "unknown": Turning.UNKNOWN,
    }
    return Surroundings(
        duty.kind,
        duty.fuel != "no",
        returns[pairing.sender.earth_return],
        _source(pairing.gauge),
        float(np.max(supplies_of(pairing.gauge, pairing.installation).volts)),
    )


def _source(gauge: Gauge) -> SourceOhms | None:
    """Return the gauge as its signal terminal is seen, None where nobody knows."""
    movement = gauge.movement
    coils = coils_of(gauge)
    if coils is not None:
        return source_of_coils(coils)
    figure = None
    if isinstance(movement, HeaterMovement):
        figure = movement.heater
    elif isinstance(movement, CoilMovement):
        figure = movement.coil
    elif isinstance(movement, ElectronicMovement) and movement.rail == "supply":
        figure = movement.pull_up
    if figure is not None:
        return SourceOhms(1.0, figure.si(Kind.RESISTANCE))
    return measured_source(gauge)
