"""What is known of a gauge's coils and source: stated with the part, or read at its terminals."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product

from catalog.errors import UserError
from catalog.parts.gauge import Gauge, RatioMovement, SourceTest
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
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


@dataclass(frozen=True)
class SourceOhms:
    """A gauge as its signal terminal is seen: a voltage behind a resistance.

    Attributes
    ----------
    share : float
        Open-circuit voltage over the supply [1].
    ohm : float
        Source resistance [Ω].
    """

    share: float
    ohm: float


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


def measured_source(gauge: Gauge) -> SourceOhms | None:
    """Return the measured source of a ratio gauge, None where there is none or it is nonsense.

    What is wrong with the readings is said by the check of the dial.
    """
    if not isinstance(gauge.movement, RatioMovement):
        return None
    try:
        found = source_of(gauge)
    except UserError:
        return None
    return None if found is None else SourceOhms(found.share.value, found.ohm.value)


def within_readings(gauge: Gauge) -> tuple[Gauge, ...]:
    """Return a ratio gauge as the errors of its readings would still allow it.

    Every corner of the two coils, or of the source, that the readings tell; what a needle shows
    is a bilinear function of each, so it is at its worst in a corner. Empty where the coils are
    stated or nothing of use was measured.
    """
    movement = gauge.movement
    if not isinstance(movement, RatioMovement):
        return ()
    if movement.supply_coil is not None and movement.earth_coil is not None:
        return ()
    if coils_of(gauge) is not None:
        found = star_of(gauge)
        assert found is not None
        ends = [(leg.ohm - leg.worst, leg.ohm + leg.worst) for leg in (found.supply, found.earth)]
        coils = [[Figure(Amount(ohm, "Ω")) for ohm in corner] for corner in product(*ends)]
        return tuple(
            replace(gauge, movement=replace(movement, supply_coil=supply, earth_coil=earth))
            for supply, earth in coils
        )
    if measured_source(gauge) is None:
        return ()
    source = source_of(gauge)
    assert source is not None
    corners = product((source.share.low, source.share.high), (source.ohm.low, source.ohm.high))
    return tuple(replace(gauge, source=_told_by(SourceOhms(*corner))) for corner in corners)


def _told_by(source: SourceOhms) -> SourceTest:
    """Return the test that tells just this source: a third and three times its ohms, at 1 V."""
    return SourceTest(
        first=Amount(source.ohm / 3.0, "Ω"),
        first_volts=Amount(source.share / 4.0, "V"),
        second=Amount(source.ohm * 3.0, "Ω"),
        second_volts=Amount(source.share * 0.75, "V"),
        supply=Amount(1.0, "V"),
        meter_error=Amount(0.0, "%"),
    )
