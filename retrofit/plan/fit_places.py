"""What the place asks of a sender: ratings, medium, immersion, fuel, water, a controller."""

from __future__ import annotations

from collections.abc import Iterator

from catalog.message import message
from catalog.quantities.kinds import Kind
from retrofit.fit.adapters import Chain
from retrofit.fit.engagement import rest
from retrofit.fit.place import (
    OPEN_TRACK,
    InFuel,
    air_pocket_check,
    electrolysis_check,
    fuel_check,
    place_check,
    shared_check,
    wires_check,
)
from retrofit.fit.ratings import (
    Heat,
    InTheWay,
    bore_check,
    immersion_check,
    medium_check,
    pressure_check,
    temperature_check,
)
from retrofit.fit.verdict import COMMON, FitCheck
from retrofit.plan.document import Duty
from retrofit.plan.fit_said import Said, si

_MEDIUM = {"fresh water": "water", "other": None, "unknown": None}


def medium_of(duty: Duty) -> str | None:
    """Return the duty's medium in the words of a sender's fitting, None where it has none."""
    return _MEDIUM.get(duty.medium, duty.medium)


def place_checks(said: Said, chain: Chain | None) -> Iterator[FitCheck]:
    """Give the checks of ratings and place that apply.

    While no thread is named only those are asked whose answer somebody began to give.
    """
    yield from _ratings(said)
    if said.duty.quantity == "temperature":
        yield from _wetted(said, chain)
    fitting, port, duty = said.fitting, said.port, said.duty
    if duty.fuel != "no" and (said.begun or fitting.made_for_fuel != "unknown"):
        yield fuel_check(InFuel(duty.fuel, fitting.made_for_fuel, said.fit.joint_in_tank))
    if (
        duty.quantity == "level" and (said.begun or fitting.track != "unknown")
    ) or fitting.track == OPEN_TRACK:
        yield electrolysis_check(fitting.track, medium_of(duty))
    placed = "unknown" not in (duty.point, port.mounted_at)
    if duty.quantity != "level" and (said.begun or placed):
        yield place_check(duty.point, port.mounted_at)
    if port.shared_with_controller != "unknown":
        yield shared_check(port.shared_with_controller)
    if fitting.terminals is not None or said.begun:
        yield wires_check(fitting.terminals)


def _ratings(said: Said) -> Iterator[FitCheck]:
    fitting, port, duty = said.fitting, said.port, said.duty
    rated, proof = (
        si(fitting.max_pressure, Kind.PRESSURE),
        si(fitting.proof_pressure, Kind.PRESSURE),
    )
    highest = si(duty.highest_pressure, Kind.PRESSURE)
    asked = said.begun and duty.quantity != "level"
    if asked or rated is not None or proof is not None:
        yield pressure_check(rated, proof, highest)
    if said.begun or fitting.media:
        yield medium_check(fitting.media, medium_of(duty))
    met = [si(port.hottest, Kind.TEMPERATURE), si(duty.highest_temperature, Kind.TEMPERATURE)]
    heat = Heat(
        si(fitting.coldest, Kind.TEMPERATURE),
        si(fitting.hottest, Kind.TEMPERATURE),
        si(port.coldest, Kind.TEMPERATURE),
        max((one for one in met if one is not None), default=None),
    )
    if said.begun or heat.lowest_rated is not None or heat.highest_rated is not None:
        yield temperature_check(heat)


def _wetted(said: Said, chain: Chain | None) -> Iterator[FitCheck]:
    """Give the checks of a probe that has to stand in the flow."""
    fitting, port = said.fitting, said.port
    probe = si(fitting.probe, Kind.LENGTH)
    if said.begun or probe is not None:
        yield _contradicted(said) or immersion_check(probe, _in_the_way(said, chain))
    if chain is not None and chain.pieces and not chain.remote and _passes_pieces(said):
        yield bore_check(si(fitting.probe_diameter, Kind.LENGTH), chain.least_bore)
    if said.begun or port.highest_point != "unknown":
        yield air_pocket_check(port.highest_point, port.bled)


def _passes_pieces(said: Said) -> bool:
    """Return whether a probe reaches beyond its own thread, into the pieces before it."""
    probe, thread = said.fitting.probe, said.fitting.thread_length
    if probe is None:
        return said.fitting.probe_diameter is not None
    return thread is None or probe.si(Kind.LENGTH) > thread.si(Kind.LENGTH)


def _contradicted(said: Said) -> FitCheck | None:
    """Return that wall and threaded depth cannot both be; None where they can."""
    if not said.wall_contradicts:
        return None
    says, why = message("fit.wall.contradicts"), message("fit.wall.measure")
    return FitCheck("immersion", "unknown", says, why, basis=COMMON, field="wall")


def _in_the_way(said: Said, chain: Chain | None) -> InTheWay | None:
    """Return what a probe has to pass: wall, pieces, and how far taper threads stand proud.

    A piece of the stock is as long as its table says where its thread comes to rest halfway; the
    sender's own thread is measured.
    """
    wall = si(said.port.wall, Kind.LENGTH)
    if wall is None or chain is None or not all(joint.goes for joint in chain.joints):
        return None
    least = most = wall + chain.added
    *inner, last = chain.joints
    for joint in inner:
        if joint.male.taper:
            low, high = rest(joint, None).engaged
            least, most = least - (high - low) / 2.0, most + (high - low) / 2.0
    low, high = rest(last, si(said.fitting.thread_length, Kind.LENGTH)).proud
    return InTheWay(max(least + low, 0.0), most + high)
