"""Circuits as plain lists of elements, and our network made of one.

An element is a dict: ``kind``, ``name``, its two nodes ``from`` and ``to`` (``plus`` and ``minus``
for a voltage source) and ``ohm``, ``volt`` or ``ampere``. Node ``earth`` is the reference.
"""

from __future__ import annotations

from retrofit.circuit.network import Network

Element = dict[str, str | float]
Circuit = list[Element]


def resistor(name: str, start: str, end: str, ohm: float) -> Element:
    return {"kind": "resistor", "name": name, "from": start, "to": end, "ohm": ohm}


def voltage(name: str, plus: str, minus: str, volt: float) -> Element:
    return {"kind": "voltage source", "name": name, "plus": plus, "minus": minus, "volt": volt}


def current(name: str, start: str, end: str, ampere: float) -> Element:
    return {"kind": "current source", "name": name, "from": start, "to": end, "ampere": ampere}


def text(element: Element, key: str) -> str:
    found = element[key]
    assert isinstance(found, str)
    return found


def number(element: Element, key: str) -> float:
    return float(element[key])


def nodes_of(circuit: Circuit) -> list[str]:
    """Names of the nodes, sorted, the reference left out."""
    found = {text(e, key) for e in circuit for key in ("from", "to", "plus", "minus") if key in e}
    return sorted(found - {"earth"})


def network_of(circuit: Circuit, without: tuple[str, ...] = ()) -> Network:
    network = Network()
    for e in circuit:
        name = text(e, "name")
        if name in without:
            continue
        if e["kind"] == "resistor":
            network.resistor(name, text(e, "from"), text(e, "to"), number(e, "ohm"))
        elif e["kind"] == "voltage source":
            network.voltage_source(name, text(e, "plus"), text(e, "minus"), number(e, "volt"))
        else:
            network.current_source(name, text(e, "from"), text(e, "to"), number(e, "ampere"))
    return network
