"""The user's own resistors: what lies in the drawer, with powers, instead of a whole series."""

import math
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.errors import UserError, user_error
from catalog.message import Message, SiValue, message
from catalog.parts.fields import Ohms, Watts
from catalog.provenance import Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.quantities.numerals import DecimalMark
from catalog.quantities.parse import parse

_SAME = 1e-9
"""Relative difference below which two values are one."""


@dataclass(frozen=True)
class StockResistor:
    """Resistors of one kind in the user's stock.

    Attributes
    ----------
    ohm : Amount
        Their value, as marked or as measured, > 0 Ω.
    tolerance : Tolerance or None
        How far each may be off; None where nobody knows.
    watts : Amount or None
        What each may take; None where nobody knows.
    count : int or None
        How many there are, at least 1; None: enough.
    """

    ohm: Ohms
    tolerance: Tolerance | None = None
    watts: Watts | None = None
    count: int | None = None

    def __post_init__(self) -> None:
        """Raise UserError for ohms, watts or a number of pieces that cannot be."""
        problems: list[Message] = []
        if not 0.0 < self.value < math.inf:
            problems.append(message("stock.no_ohms", text=str(self.ohm)))
        if self.watts is not None and self.watts.number <= 0.0:
            problems.append(message("stock.no_watts", text=str(self.watts), ohm=str(self.ohm)))
        if self.count is not None and self.count < 1:
            problems.append(message("stock.no_count", count=self.count, ohm=str(self.ohm)))
        if problems:
            raise UserError(problems)

    @property
    def value(self) -> float:
        """Its resistance [Ω]."""
        return self.ohm.si(Kind.RESISTANCE)

    @property
    def rating(self) -> float:
        """What it may take [W]; NaN where nobody knows."""
        return math.nan if self.watts is None else self.watts.si(Kind.POWER)


@dataclass(frozen=True)
class Stock:
    """All resistors that the user has.

    Attributes
    ----------
    resistors : tuple of StockResistor
        In any order; one value may come in several powers or tolerances.
    """

    resistors: tuple[StockResistor, ...] = ()

    def values(self, low: float, high: float) -> Array:
        """Return the different values from `low` to `high`, both included.

        Parameters
        ----------
        low, high : float
            Ends of the range [Ω].

        Returns
        -------
        array, shape (N,)
            Ohms [Ω], increasing, at least one.

        Raises
        ------
        UserError
            ``stock.empty`` where there is no resistor at all; ``stock.none_between`` where
            none lies in the range, with what the stock reaches from and to.

        Examples
        --------
        >>> from catalog.quantities.amounts import Amount
        >>> drawer = Stock((StockResistor(Amount(47.0, "Ω")), StockResistor(Amount(1.0, "kΩ"))))
        >>> drawer.values(10.0, 2000.0)
        array([  47., 1000.])
        """
        if not self.resistors:
            raise user_error("stock.empty")
        every = np.unique([one.value for one in self.resistors])
        found: Array = every[(every >= low) & (every <= high)]
        if not found.size:
            raise user_error(
                "stock.none_between",
                low=SiValue(low, Kind.RESISTANCE),
                high=SiValue(high, Kind.RESISTANCE),
                least=SiValue(float(every[0]), Kind.RESISTANCE),
                most=SiValue(float(every[-1]), Kind.RESISTANCE),
            )
        return found

    def holding(self, ohm: float, watts: float = 0.0) -> tuple[StockResistor, ...]:
        """Return the resistors of a value that may take `watts`, the smallest power first.

        Parameters
        ----------
        ohm : float
            Value [Ω].
        watts : float
            Power rating wanted [W]. Where it is above 0, a resistor of unknown power is not
            among those returned: unknown is never enough.
        """
        same = [one for one in self.resistors if math.isclose(one.value, ohm, rel_tol=_SAME)]
        fit = [one for one in same if watts <= 0.0 or one.rating >= watts]
        known = sorted((one for one in fit if one.watts is not None), key=lambda one: one.rating)
        return (*known, *(one for one in fit if one.watts is None))

    def nearest(self, ohm: float, watts: float = 0.0) -> StockResistor | None:
        """Return the resistor nearest to `ohm` by their ratio that may take `watts`.

        Parameters
        ----------
        ohm : float
            Wanted value [Ω], above 0.
        watts : float
            Power rating wanted [W]; see `holding`.

        Returns
        -------
        StockResistor or None
            The smallest power that does; None where no resistor may take that.
        """
        near = sorted({one.value for one in self.resistors}, key=lambda v: abs(math.log(v / ohm)))
        return next((found[0] for one in near if (found := self.holding(one, watts))), None)

    def suffices(self, ohms: Sequence[float]) -> bool:
        """Return whether the stock holds all of `ohms` [Ω] at once, each as often as it comes."""
        return all(
            any(one.count is None for one in self.holding(ohm))
            or sum(one.count or 0 for one in self.holding(ohm)) >= wanted
            for ohm, wanted in Counter(ohms).items()
        )


def typed_stock(text: str, decimal: DecimalMark = ".") -> Stock:
    """Return resistors that were typed one after the other, each as many as wanted.

    Parameters
    ----------
    text : str
        Ohms behind semicolons; without one behind commas, or with a decimal comma and neither
        semicolon behind blanks.
    decimal : "." or ","
        The user's decimal mark.

    Raises
    ------
    UserError
        With every piece that is no resistor; ``stock.empty`` for none at all.

    Examples
    --------
    >>> [str(one.ohm) for one in typed_stock("10, 4k7, 1 kΩ").resistors]
    ['10 Ω', '4.7 kΩ', '1 kΩ']
    """
    if ";" in text or "\n" in text:
        pieces = re.split(r"[;\n]", text)
    elif decimal == ",":
        pieces = re.split(r",?\s+", text)
    else:
        pieces = text.split(",")
    found: list[StockResistor] = []
    problems: list[Message] = []
    for piece in (one.strip() for one in pieces):
        if not piece:
            continue
        try:
            amount: Amount = parse(piece, Kind.RESISTANCE, decimal=decimal)
            found.append(StockResistor(amount))
        except UserError as error:
            problems += error.messages
    if problems:
        raise UserError(problems)
    if not found:
        raise user_error("stock.empty")
    return Stock(tuple(found))
