"""Field types of parts: amounts and figures whose kind is told by the annotation."""

from typing import Annotated, Literal

from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind

QuantityName = Literal["level", "pressure", "temperature"]

QUANTITY_KIND: dict[QuantityName, Kind] = {
    "level": Kind.LEVEL,
    "pressure": Kind.PRESSURE,
    "temperature": Kind.TEMPERATURE,
}

DIFFERENCE_KINDS = (
    Kind.TEMPERATURE_DIFFERENCE,
    Kind.PRESSURE_DIFFERENCE,
    Kind.LEVEL_DIFFERENCE,
)

SIGNAL_KINDS = (Kind.RESISTANCE, Kind.VOLTAGE, Kind.CURRENT)

ANY_READING = "reading"
ANY_SIGNAL = "signal"
ANY_DIFFERENCE = "difference"

Reading = Annotated[Amount, ANY_READING]
"""A level, pressure or temperature: what the duty, the sender and the dial are about."""

Signal = Annotated[Amount, ANY_SIGNAL]
"""Ohms, volts or amperes: what a sender gives and a gauge wants."""

Difference = Annotated[Amount, ANY_DIFFERENCE]
"""A difference of two readings: an allowed error, a tolerance."""

Ohms = Annotated[Amount, Kind.RESISTANCE]
Volts = Annotated[Amount, Kind.VOLTAGE]
Watts = Annotated[Amount, Kind.POWER]
Litres = Annotated[Amount, Kind.VOLUME]
Pressure = Annotated[Amount, Kind.PRESSURE]
Celsius = Annotated[Amount, Kind.TEMPERATURE]
Length = Annotated[Amount, Kind.LENGTH]
Degrees = Annotated[Amount, Kind.ANGLE]
Share = Annotated[Amount, Kind.FRACTION]

OhmFigure = Annotated[Figure, Kind.RESISTANCE]
VoltFigure = Annotated[Figure, Kind.VOLTAGE]
AmpereFigure = Annotated[Figure, Kind.CURRENT]
ShareFigure = Annotated[Figure, Kind.FRACTION]
KelvinFigure = Annotated[Figure, Kind.THERMISTOR_BETA]
PressureFigure = Annotated[Figure, Kind.PRESSURE]
CelsiusFigure = Annotated[Figure, Kind.TEMPERATURE]
AngleFigure = Annotated[Figure, Kind.ANGLE]
VolumeFigure = Annotated[Figure, Kind.VOLUME]
