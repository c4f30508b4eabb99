"""What is known of a gauge's coils and source: stated with the part, or read at its terminals."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.errors import UserError
from catalog.parts.gauge import Gauge, RatioMovement
from catalog.quantities.kinds import Kind
from retrofit.circuit.bench_readings import (
    LoadedReading,
    Meter,
    SourceReading,
    source_from_tests,
)
from retrofit.circuit.terminals import Coils, Star, star


@dataclass(frozen=True)
class CoilOhms:
    """The two coils of a ratio movement.

    Attributes
    ----------
    supply : float
        Between the supply and the signal terminal [Ω].
    earth : float
        Between the signal and the earth terminal [Ω].
    """

    supply: float
    earth: float


def star_of(gauge: Gauge) -> Star | None:
    """Return the star legs behind a gauge's terminal readings, None where there are none.

    Raises
    ------
    UserError
        ``bench.terminal`` for a reading that cannot be one.
    """
    readings = gauge.terminals
    if readings is None:
        return None
    return star(
        readings.supply_earth.si(Kind.RESISTANCE),
        readings.supply_signal.si(Kind.RESISTANCE),
        readings.signal_earth.si(Kind.RESISTANCE),
        Meter(readings.meter_error.si(Kind.FRACTION)),
    )


def coils_of(gauge: Gauge) -> CoilOhms | None:
    """Return the coils of a ratio gauge, stated or read as a plain divider, else None."""
    movement = gauge.movement
    if not isinstance(movement, RatioMovement):
        return None
    if movement.supply_coil is not None and movement.earth_coil is not None:
        return CoilOhms(
            movement.supply_coil.si(Kind.RESISTANCE), movement.earth_coil.si(Kind.RESISTANCE)
        )
    try:
        found = star_of(gauge)
    except UserError:  # the check of the dial says what is wrong with the readings
        return None
    if found is None or found.coils is not Coils.PLAIN_DIVIDER:
        return None
    return CoilOhms(found.supply.ohm, found.earth.ohm)


def source_of(gauge: Gauge) -> SourceReading | None:
    """Return the source seen from the signal terminal, None without the two test readings.

    Raises
    ------
    UserError
        ``bench.source_…`` for readings that no source gives.
    """
    test = gauge.source
    if test is None:
        return None
    supply = test.supply.si(Kind.VOLTAGE)
    readings = [
        LoadedReading(ohm.si(Kind.RESISTANCE), volts.si(Kind.VOLTAGE), supply)
        for ohm, volts in ((test.first, test.first_volts), (test.second, test.second_volts))
    ]
    meter = Meter(test.meter_error.si(Kind.FRACTION))
    return source_from_tests(readings[0], readings[1], meter, meter)
