"""How one number was made: its formula, what went in and where that comes from, and the result."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.message import Message, SiValue
from catalog.provenance import Basis, BasisKind

COMPUTED = Basis(BasisKind.UNSTATED, "computed from the parts of this plan")
"""A number of the program's own; it has a sum of its own or a method."""

ENTERED = Basis(BasisKind.UNSTATED, "entered in this plan")
"""A number that the user typed without saying how he knows it."""


@dataclass(frozen=True)
class Input:
    """One number that goes into a sum.

    Attributes
    ----------
    symbol : str
        Its letter in the formula; "" where it goes into a method only.
    name : Message
        What it is.
    value : SiValue or float
        The number in SI; a bare one has no unit of the reader's.
    basis : Basis
        Where it comes from.
    """

    symbol: str
    name: Message
    value: SiValue | float
    basis: Basis

    @property
    def number(self) -> float:
        """The number [SI]."""
        return self.value.value if isinstance(self.value, SiValue) else self.value


@dataclass(frozen=True)
class Sum:
    """How one number was made.

    Attributes
    ----------
    title : Message
        Which number.
    formula : str
        Its right side in mathematical notation, in the symbols of the inputs and in SI units
        (°C for temperatures), several steps with ``;`` between them; "" where there is no closed
        form.
    inputs : tuple of Input
        What goes in.
    result : SiValue
        The number as it is shown.
    symbol : str
        Its letter, by which later sums call it.
    method : Message or None
        How it is found where no closed form gives it, or how an input was.
    """

    title: Message
    formula: str
    inputs: tuple[Input, ...]
    result: SiValue
    symbol: str = ""
    method: Message | None = None

    @property
    def closed(self) -> bool:
        """Whether the formula gives the number."""
        return bool(self.formula)

    def as_input(self, symbol: str) -> Input:
        """Return the result as an input of another sum."""
        return Input(symbol, self.title, self.result, COMPUTED)


def rounded(value: float) -> float:
    """Return a bare number as it is told in a sentence, seven digits.

    Examples
    --------
    >>> rounded(2.3999999999999995)
    2.4
    """
    return float(f"{value:.7g}")
