"""The generic stock of adapters, bushes, tees and hoses, from the table beside this module."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from catalog.fittings.rows import basis_of, rows
from catalog.provenance import Basis
from catalog.threads.standards import thread
from catalog.threads.thread import Thread

AdapterKind = Literal["adapter", "bush", "extension", "tee", "hose"]
_KINDS: dict[str, AdapterKind] = {
    "adapter": "adapter",
    "bush": "bush",
    "extension": "extension",
    "tee": "tee",
    "hose": "hose",
}


@dataclass(frozen=True)
class Adapter:
    """One generic piece between port and sender.

    Attributes
    ----------
    key, name : str
        For files, and as the trade says it.
    kind : str
        "adapter", "bush", "extension", "tee" or "hose".
    male, female : Thread
        The end that goes into the port, and the one that takes the sender.
    more_females : tuple of Thread
        Further ports of a tee.
    added : float
        How far it stands between the port's face and the sender's [m]; length of a hose.
    mass : float
        [kg].
    bore : float
        Passage for the medium, or for a probe [m].
    basis : Basis
        Common practice: lengths and masses differ from stock to stock.
    """

    key: str
    name: str
    kind: AdapterKind
    male: Thread
    female: Thread
    more_females: tuple[Thread, ...]
    added: float
    mass: float
    bore: float
    basis: Basis


@cache
def adapters() -> tuple[Adapter, ...]:
    """Return the stock in the order of the table.

    Examples
    --------
    >>> adapters()[1].name
    'Adapter, R 1/8 male to 1/8 NPT female'
    """
    return tuple(
        Adapter(
            key=row["key"],
            name=row["name"],
            kind=_KINDS[row["kind"]],
            male=thread(row["male"]),
            female=thread(row["female"]),
            more_females=tuple(thread(key) for key in row["more_females"].split()),
            added=float(row["added_mm"]) * 1e-3,
            mass=float(row["mass_g"]) * 1e-3,
            bore=float(row["bore_mm"]) * 1e-3,
            basis=basis_of(row),
        )
        for row in rows("adapters.csv")
    )
