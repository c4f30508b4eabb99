"""The wiring diagram: what is joined in it is what the plan's network joins, and can be read.

The netlist is read back from the places of the drawing alone. What lies before a stabiliser
does not count while it holds its output, so the network leaves it out where nothing else hangs
there (and so does the comparison).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path as FilePath

import pytest

from catalog.codec import decode
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.quantities.show import NumberStyle
from retrofit.circuit.network import EARTH_NODE, Network
from retrofit.drawing.diagram import DiagramDrawing, wiring_diagram
from retrofit.drawing.lettering import width
from retrofit.drawing.look import Look
from retrofit.drawing.palette import GREY, LIGHT
from retrofit.drawing.schematic import Netlist
from retrofit.installation import (
    PLACES,
    Installation,
    Load,
    Path,
    SecondGauge,
    Stabiliser,
    TrimResistor,
    WarningLamp,
    Wire,
)
from retrofit.messages import Renderer
from retrofit.plan.document import Pairing, Plan
from retrofit.plan.file import read_plan
from retrofit.plan.stages import stabilised_volts, supplies_of
from retrofit.shipped import path as shipped
from retrofit.wired import SECOND, wired
from tests.drawing.picture import Picture
from tests.published.installation_netlist import generated

LOOK = Look(GREY, Renderer(NumberStyle()))
RANDOM = range(30)
DEMOS = ("harbour-launch", "standby-generator", "vineyard-tractor")
VARIANTS = ("all", "tapped", "heater", "bare")

Nets = dict[str, tuple[str, str]]


def ohm(value: float) -> Figure:
    return Figure(Amount(value, "Ω"))


@cache
def pairing(name: str | int) -> Pairing:
    if isinstance(name, int):
        raw, _, _ = generated(7, len(RANDOM))[name]
        return decode(raw, Plan, "generated").pairings[0]
    if name in VARIANTS:
        return variant(name)
    return read_plan(FilePath(shipped("demo", f"{name}.json"))).pairings[0]


def full() -> Installation:
    """An installation with one of everything, named and lettered at length."""
    return replace(
        pairing("harbour-launch").installation,
        shared_feed=Path(Wire("2.5 mm²", Amount(3.0, "m"), colour="red")),
        feed=Path(Wire("1 mm²", Amount(0.4, "m"), colour="brown, a white tracer"), ohm(0.02)),
        signal=Path(Wire("1 mm²", Amount(6.0, "m"), colour="white/green"), ohm(0.05)),
        engine_earth=Path(measured=ohm(0.01)),
        gauge_earth=Path(Wire("1 mm²", Amount(2.0, "m"), colour="black")),
        loads=(
            Load("panel lights <b> with a name that never ends", watts=Amount(5.0, "W")),
            Load("charging", "engine earth", amperes=Figure(Amount(20.0, "A")), when="charging"),
            Load("starter", "engine earth", when="cranking", on_feed="no"),
            Load("bilge pump", "engine earth", watts=Amount(30.0, "W")),
            Load("radio", amperes=Figure(Amount(1.0, "A")), on_feed="no"),
        ),
        lamp=WarningLamp(watts=Amount(2.0, "W")),
        second=SecondGauge(pairing("vineyard-tractor").gauge),
    )


def variant(name: str) -> Pairing:
    trim = tuple(TrimResistor(place, Amount(470.0, "Ω")) for place in PLACES)
    base = pairing("harbour-launch")
    if name == "bare":
        return replace(base, installation=Installation(base.installation.supply))
    if name == "heater":
        held = Stabiliser("yes", output=Figure(Amount(10.0, "V")))
        return replace(pairing(1), installation=replace(full(), stabiliser=held), trim=trim)
    tapped = WarningLamp("tapped from signal", Amount(2.0, "W"), input=ohm(10_000.0))
    installation = full() if name == "all" else replace(full(), lamp=tapped)
    return replace(base, installation=installation, trim=trim)


@cache
def drawn(name: str | int) -> DiagramDrawing:
    return wiring_diagram(pairing(name), LOOK)


# --- the netlist --------------------------------------------------------------------------------


def network_of(of: Pairing) -> tuple[Nets, tuple[str, str]]:
    supplies = supplies_of(of.gauge, of.installation)
    circuit = wired(of.gauge, of.installation, of.trim, supplies)
    assert circuit is not None
    return network_nets(circuit.network), (circuit.first, circuit.second)


def network_nets(network: Network) -> Nets:
    names = {number: name for name, number in network.nodes.items()}
    return {
        name: (names[element.a], names[element.b]) for name, element in network.elements.items()
    }


def drawn_nets(netlist: Netlist) -> Nets:
    return {name: (str(a), str(b)) for name, (a, b) in netlist.elements.items()}


def pruned(nets: Nets) -> Nets:
    """Leave out what leads nowhere inside a second gauge that is switched off."""
    while True:
        ends = [node for pair in nets.values() for node in pair]
        dead = [
            name
            for name, pair in nets.items()
            if name.startswith(SECOND) and min(ends.count(node) for node in pair) == 1
        ]
        if not dead:
            return nets
        nets = {name: pair for name, pair in nets.items() if name not in dead}


def grounded(nets: Nets, fixed: Iterable[str], battery: str, earth: str) -> Nets:
    """Bring fixed currents at the battery's live pole to its other one: it is a stiff source."""
    moved: Nets = {}
    for name, (a, b) in nets.items():
        if name in fixed:
            a, b = (earth if node == battery else node for node in (a, b))
            if a == b:
                continue
        moved[name] = (a, b)
    return moved


def fixed_currents(of: Pairing) -> list[str]:
    loads = of.installation.loads
    return [f"load {one.name}" for one in loads if one.watts is None or one.when == "charging"]


def without_feed(nets: Nets, of: Pairing, inside: Nets) -> Nets:
    """Leave out what lies before a stabiliser and what the network need not count."""
    if stabilised_volts(of.gauge, of.installation) is None:
        return nets
    dropped = {"feed", "shared feed", "battery"} - set(inside)
    return {name: pair for name, pair in nets.items() if name not in dropped}


def same_shape(one: Nets, other: Nets) -> None:
    """Fail where no pairing of the nets joins the same elements in both."""
    assert set(one) == set(other)
    choices: dict[str, set[str]] = {}
    for name, pair in one.items():
        for node in pair:
            choices[node] = choices.get(node, set(other[name])) & set(other[name])
    pinned: dict[str, str] = {}
    while len(pinned) < len(choices):
        left = [node for node in choices if node not in pinned]
        assert all(choices[node] for node in left), "a net of the drawing is no node"
        # Two nets that no third element tells apart may stand either way round.
        node = min(left, key=lambda n: (len(choices[n]), n))
        pinned[node] = min(choices[node])
        for rest in left:
            choices[rest] = choices[rest] - {pinned[node]} if rest != node else choices[rest]
    assert all({pinned[a], pinned[b]} == set(other[name]) for name, (a, b) in one.items())


@pytest.mark.parametrize("name", RANDOM)
def test_that_the_drawing_joins_what_the_network_joins(name: int) -> None:
    of = pairing(name)
    inside, sender = network_of(of)
    netlist = drawn(name).schematic.netlist()
    assert netlist.sender is not None
    lines = drawn_nets(netlist)
    live, earth = lines["supply"]
    lines["sender"] = (str(netlist.sender[0]), str(netlist.sender[1]))
    fixed = fixed_currents(of)
    lines = grounded(lines, fixed, live, earth)
    inside = grounded({**inside, "sender": sender}, fixed, inside["supply"][0], EARTH_NODE)
    same_shape(pruned(lines), pruned(inside))


@pytest.mark.parametrize("shared", [False, True])
def test_that_a_stabilised_heater_is_drawn_as_its_network_counts_it(*, shared: bool) -> None:
    of = pairing("heater")
    loads = of.installation.loads[:1] if shared else ()
    of = replace(of, installation=replace(of.installation, second=None, lamp=None, loads=loads))
    inside, _ = network_of(of)
    lines = drawn_nets(wiring_diagram(of, LOOK).schematic.netlist())
    assert ("shared feed" in inside) == shared
    same_shape(without_feed(lines, of, inside), inside)


def test_that_a_wire_in_the_wrong_place_is_told() -> None:
    inside, _ = network_of(pairing(0))
    name, (a, b) = next(iter(inside.items()))
    nodes = sorted({node for pair in inside.values() for node in pair})
    other = next(node for node in nodes if node not in (a, b))
    with pytest.raises(AssertionError):
        same_shape({**inside, name: (other, b)}, inside)


@pytest.mark.parametrize("name", ["all", "tapped", "heater"])
def test_that_each_trim_sits_between_the_places_that_it_is_named_after(name: str) -> None:
    netlist = drawn(name).schematic.netlist()
    assert netlist.sender is not None
    nets = netlist.elements
    assert set(PLACES) <= set(nets)
    assert set(nets["across sender"]) == set(netlist.sender)
    assert set(nets["series at sender"]) & set(nets["across sender"])
    assert set(nets["series at gauge"]) & set(nets["signal to earth"])
    assert set(nets["series at gauge"]) & set(nets["pull-up"])
    assert not set(nets["pull-up"]) & set(netlist.sender)


def test_that_with_the_positive_pole_on_earth_the_battery_stands_the_other_way_round() -> None:
    of = pairing("harbour-launch")
    supply = replace(of.installation.supply, earthed="positive")
    other = replace(of, installation=replace(of.installation, supply=supply))
    plain, turned = (wiring_diagram(one, LOOK).schematic for one in (of, other))
    earth = [flag.at for flag in turned.flags if flag.name == "earth"]
    assert turned.part("supply").start in earth
    assert plain.part("supply").end in earth


def test_that_a_plan_that_says_nothing_of_its_wires_counts_none() -> None:
    bare = drawn("bare").schematic
    assert [part.name for part in bare.parts if part.state == "counted"] == ["supply"]


def test_that_random_installations_are_of_every_kind() -> None:
    those = [pairing(n) for n in RANDOM]
    assert len({type(one.gauge.movement) for one in those}) == 4
    assert all(one.sender.signal is Kind.RESISTANCE for one in those)
    for has in ("second", "lamp", "loads"):
        assert sum(bool(getattr(one.installation, has)) for one in those) > 5


# --- lettering ----------------------------------------------------------------------------------

Box = tuple[float, float, float, float]


def text_boxes(picture: Picture) -> list[tuple[str, Box]]:
    boxes = []
    for element in picture.all("text"):
        said = "".join(element.itertext())
        size = picture.length(element, "font-size")
        wide = width(said, size, bold=element.get("font-weight") == "600")
        x, y = picture.length(element, "x"), picture.length(element, "y")
        anchor = element.get("text-anchor", "start")
        left = x - {"start": 0.0, "middle": wide / 2.0, "end": wide}[anchor]
        boxes.append((said, (left, y - 0.73 * size, left + wide, y + 0.05 * size)))
    return boxes


def meet(one: Box, other: Box) -> bool:
    across = one[0] < other[2] and other[0] < one[2]
    return across and one[1] < other[3] and other[1] < one[3]


@pytest.mark.parametrize("name", [*DEMOS, *VARIANTS, *RANDOM])
def test_that_no_lettering_lies_on_another_or_on_a_wire_or_off_the_drawing(name: str | int) -> None:
    drawing = drawn(name)
    boxes = text_boxes(Picture(drawing.svg))
    for number, (said, box) in enumerate(boxes):
        assert box[0] >= -0.01, said
        assert box[2] <= drawing.width + 0.01, said
        assert box[1] >= 0.0, said
        assert box[3] <= drawing.height, said
        assert [other for other, there in boxes[number + 1 :] if meet(box, there)] == [], said
    ways = [part for part in drawing.schematic.parts if part.kind not in ("source", "motor")]
    lines = [(part.start, part.end) for part in ways if part.kind != "charger"]
    for wire in drawing.schematic.wires:
        lines += pairwise(wire)
    for (x1, y1), (x2, y2) in lines:
        along = (min(x1, x2), min(y1, y2), max(x1, x2) + 1e-9, max(y1, y2) + 1e-9)
        assert [said for said, box in boxes if meet(box, along)] == [], along


def test_that_what_the_user_gave_is_lettered_and_what_he_did_not_is_said() -> None:
    said = [one.replace("\N{NO-BREAK SPACE}", " ") for one in Picture(drawn("all").svg).texts()]
    assert "2.5 mm², 3 m, red" in said
    assert "0.01 Ω measured" in said
    assert "size not given" in said
    bare = Picture(drawn("bare").svg).texts()
    assert bare.count("size not given") == 5
    assert "not measured" in bare


def test_that_the_drawing_is_the_same_in_colour_and_in_grey() -> None:
    colour = wiring_diagram(pairing("all"), Look(LIGHT, Renderer(NumberStyle())))
    assert colour.schematic == drawn("all").schematic
    assert Picture(colour.svg).texts() == Picture(drawn("all").svg).texts()


def test_that_thirty_loads_make_the_drawing_taller_and_leave_none_out() -> None:
    of = pairing("harbour-launch")
    loads = tuple(Load(f"load {n}", watts=Amount(5.0, "W")) for n in range(30))
    many = wiring_diagram(replace(of, installation=replace(of.installation, loads=loads)), LOOK)
    assert many.width == drawn("harbour-launch").width
    assert many.height > drawn("harbour-launch").height + 200.0
    assert len([n for n in many.schematic.netlist().elements if n.startswith("load ")]) == 30
