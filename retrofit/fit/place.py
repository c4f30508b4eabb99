"""Where a sender sits: the duty's point or another one, fuel, air pockets, water, a controller."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from catalog.message import Message, message
from retrofit.fit.verdict import COMMON, FitCheck, Verdict

Place = Literal[
    "cylinder head", "thermostat housing", "engine block", "radiator bottom", "expansion tank",
    "oil sump", "oil gallery after the filter", "oil gallery before the filter", "oil cooler",
    "gearbox", "fuel tank", "fuel line", "water tank", "intake manifold", "air line", "unknown",
]  # fmt: skip
Answer = Literal["yes", "no", "unknown"]
Track = Literal["wire or film in the open", "sealed contacts", "no track", "unknown"]

OPEN_TRACK: Track = "wire or film in the open"


def _check(name: str, verdict: Verdict, key: str, field: str = "place") -> FitCheck:
    return FitCheck(name, verdict, message(key), message(f"{key}_how"), basis=COMMON, field=field)


def place_check(duty: Place, mounted: Place) -> FitCheck:
    """Return whether the sender sits where the duty's marks were set.

    The marks of a duty belong to one point of the engine: elsewhere the true value is another.

    Parameters
    ----------
    duty, mounted : str
        Point that the duty means, and where the sender goes.

    Examples
    --------
    >>> place_check("cylinder head", "radiator bottom").verdict
    'caution'
    """
    if "unknown" in (duty, mounted):
        return _check("place", "unknown", "place.unknown")
    if duty == mounted:
        return _check("place", "good", "place.same")
    says = message("place.other", duty=_named(duty), mounted=_named(mounted))
    return FitCheck(
        "place", "caution", says, message("place.other_how"), basis=COMMON, field="place"
    )


def _named(place: Place) -> Message:
    return message(f"place.at.{place.replace(' ', '_')}")


@dataclass(frozen=True)
class InFuel:
    """A sender in or above fuel.

    Attributes
    ----------
    within : "yes", "no", "unknown"
        Whether it sits in fuel or its vapour.
    made_for_it : "yes", "no", "unknown"
        Whether it is stated for that place.
    joint_inside : "yes", "no", "unknown"
        Whether a joint, resistor or adapter with a live wire lies in the tank's space.
    """

    within: Answer
    made_for_it: Answer = "unknown"
    joint_inside: Answer = "unknown"


def fuel_check(fuel: InFuel) -> FitCheck:
    """Return whether a sender may sit in or above fuel.

    Only one that is made for it, and never with a joint or resistor in the tank's space. Currents
    and volts of the feed are judged with the trim.

    Examples
    --------
    >>> fuel_check(InFuel("yes", "unknown", "no")).verdict
    'stop'
    """
    if fuel.within == "no":
        return _check("in fuel", "good", "in_fuel.none")
    if fuel.within == "unknown":
        return _check("in fuel", "unknown", "in_fuel.unknown")
    if fuel.joint_inside == "yes":
        return _check("in fuel", "stop", "in_fuel.joint")
    if fuel.made_for_it != "yes":
        return _check("in fuel", "stop", "in_fuel.not_made")
    if fuel.joint_inside == "unknown":
        return _check("in fuel", "unknown", "in_fuel.ask_joint")
    return _check("in fuel", "good", "in_fuel.made")


def air_pocket_check(highest_point: Answer, bled: Answer) -> FitCheck:
    """Return whether a temperature probe may stand in trapped air instead of the liquid.

    Parameters
    ----------
    highest_point : "yes", "no", "unknown"
        Whether the port lies at the highest place of its passage, or points upwards from it.
    bled : "yes", "no", "unknown"
        Whether it can be bled there.

    Examples
    --------
    >>> air_pocket_check("yes", "no").verdict
    'stop'
    """
    if highest_point == "no":
        return _check("air pocket", "good", "air_pocket.none")
    if highest_point == "unknown":
        return _check("air pocket", "unknown", "air_pocket.unknown")
    if bled == "yes":
        return _check("air pocket", "caution", "air_pocket.bled")
    return _check("air pocket", "stop", "air_pocket.trapped")


def electrolysis_check(track: Track, medium: str | None) -> FitCheck:
    """Return whether direct current through a bare track would eat it away.

    A bare resistance track in water that conducts corrodes at its positive end and is bridged by
    the water; fuel and oil do not conduct.

    Parameters
    ----------
    track : str
        What of the sender's track the medium touches.
    medium : str or None
        A word of ``catalog.parts.fitting.Medium``.

    Examples
    --------
    >>> electrolysis_check("wire or film in the open", "waste water").verdict
    'stop'
    """
    if medium is None:
        return _check("electrolysis", "unknown", "electrolysis.medium")
    if medium not in ("water", "sea water", "waste water", "coolant"):
        return _check("electrolysis", "good", "electrolysis.dry")
    if track == "unknown":
        return _check("electrolysis", "unknown", "electrolysis.track")
    if track == OPEN_TRACK:
        return _check("electrolysis", "stop", "electrolysis.open")
    return _check("electrolysis", "good", "electrolysis.sealed")


def shared_check(controller_reads_it: Answer) -> FitCheck:
    """Return whether an engine controller reads the same sender: then no gauge may load it."""
    verdicts: dict[Answer, Verdict] = {"yes": "stop", "no": "good", "unknown": "unknown"}
    return _check("shared", verdicts[controller_reads_it], f"shared.{controller_reads_it}")


def wires_check(wires: int | None) -> FitCheck:
    """Return whether a sender's wires are those of a resistance: one, two, or three of a track.

    Four or more are those of a sensor with electronics of its own, which has no ohm curve; a
    second wire may also be a switch's (common practice, no source).

    Examples
    --------
    >>> wires_check(4).verdict, wires_check(1).verdict
    ('stop', 'good')
    """
    if wires is None or wires < 1:
        return _check("terminals", "unknown", "wires.unknown", "terminals")
    if wires >= 4:
        return _check("terminals", "stop", "wires.active", "terminals")
    if wires == 3:
        return _check("terminals", "caution", "wires.three", "terminals")
    return _check("terminals", "good", "wires.few", "terminals")
