"""What a plan says about the fit, with empty records where it says nothing."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.parts.fitting import Port, SenderFitting
from catalog.parts.sender import EarthReturn, Sender
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.threads.designation import parse_thread
from catalog.threads.thread import Gender, Thread
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.fit_document import Fit

_UNSAID = Fit()
_NO_FITTING = SenderFitting()


@dataclass(frozen=True)
class Said:
    """What the plan says about the fit.

    Attributes
    ----------
    pairing, duty : Pairing, Duty
        Of the plan.
    fit, fitting, port : Fit, SenderFitting, Port
        Empty ones where the plan has none.
    threads : pair of (Thread or None)
        Of the port and of the sender.
    """

    pairing: Pairing
    duty: Duty
    fit: Fit
    fitting: SenderFitting
    port: Port
    threads: tuple[Thread | None, Thread | None]

    @property
    def begun(self) -> bool:
        """Whether a thread is named: then all of the fit is asked."""
        return any(one is not None for one in self.threads)

    @property
    def wall_contradicts(self) -> bool:
        """Whether the port's thread is deeper than the boss and wall that it is cut in."""
        wall, depth = self.port.wall, self.port.depth
        if wall is None or depth is None:
            return False
        return wall.si(Kind.LENGTH) < depth.si(Kind.LENGTH) * (1.0 - 1e-9)

    @property
    def earth_return(self) -> EarthReturn:
        """How the sender returns its current."""
        return returns_of(self.pairing.sender)


def returns_of(sender: Sender) -> EarthReturn:
    """Return how a sender returns its current: one terminal leaves no way but its body."""
    fitting = sender.fitting or _NO_FITTING
    only = sender.earth_return == "unknown" and fitting.terminals == 1
    return "body" if only else sender.earth_return


def said_of(pairing: Pairing, duty: Duty) -> Said:
    """Return what a plan says about the fit of one pairing."""
    fit, fitting = pairing.fit or _UNSAID, pairing.sender.fitting or _NO_FITTING
    threads = _thread(fit.port.thread, "female"), _thread(fitting.thread, "male")
    return Said(pairing, duty, fit, fitting, fit.port, threads)


def _thread(name: str | None, gender: Gender) -> Thread | None:
    return None if name is None else parse_thread(name, gender)


def si(figure: Figure | Amount | None, kind: Kind) -> float | None:
    """Return an amount in SI units, None where there is none."""
    return None if figure is None else figure.si(kind)
