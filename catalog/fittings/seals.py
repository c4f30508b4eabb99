"""What each way of sealing a joint adds to the earth that runs through it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from catalog.fittings.rows import basis_of, rows
from catalog.provenance import Basis

JointKind = Literal[
    "metal", "compound", "tape", "bonded washer", "crush washer", "O-ring face", "hose"
]
_KINDS: dict[str, JointKind] = {
    "metal": "metal",
    "compound": "compound",
    "tape": "tape",
    "bonded washer": "bonded washer",
    "crush washer": "crush washer",
    "O-ring face": "O-ring face",
    "hose": "hose",
}


@dataclass(frozen=True)
class JointEarth:
    """Ohms of one joint on the sender's way to earth.

    Attributes
    ----------
    kind, name : str
        Which joint, in the code and in words.
    low, high : float
        Usual range [Ω]; inf where it carries no earth at all.
    may_insulate : bool
        Whether it may also carry no earth, whatever its usual range.
    basis : Basis
        Assumed: only a measurement under load tells.
    """

    kind: JointKind
    name: str
    low: float
    high: float
    may_insulate: bool
    basis: Basis


@cache
def joint_earths() -> dict[JointKind, JointEarth]:
    """Return the ohms of every kind of joint.

    Examples
    --------
    >>> joint_earths()["tape"].basis.kind.value
    'assumed'
    """
    made = (
        JointEarth(
            _KINDS[row["key"]],
            row["name"],
            float(row["low_ohm"]),
            float(row["high_ohm"]),
            row["may_insulate"] == "yes",
            basis_of(row),
        )
        for row in rows("seals.csv")
    )
    return {joint.kind: joint for joint in made}
