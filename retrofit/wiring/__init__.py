"""Wires and fuses to propose for a feed or a signal, each with its reasons. Knows no plan."""

from retrofit.wiring.fuse_size import FuseNeed, FuseProposal, GuardedWire, propose_fuse
from retrofit.wiring.needle_shift import ohms_allowed
from retrofit.wiring.wire_need import DROP_SHARE, WireNeed
from retrofit.wiring.wire_size import WireProposal, propose_wire

__all__ = [
    "DROP_SHARE",
    "FuseNeed",
    "FuseProposal",
    "GuardedWire",
    "WireNeed",
    "WireProposal",
    "ohms_allowed",
    "propose_fuse",
    "propose_wire",
]
