"""What is typed behind the options of a command: quantities, marks, trims, readings.

Every problem is told with the option it stands behind.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from catalog.errors import UserError, user_error
from catalog.message import Message, message
from catalog.parts.gauge import TerminalReadings
from catalog.provenance import Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference
from catalog.quantities.numerals import DecimalMark, shown
from catalog.quantities.parse import parse
from retrofit.installation import PLACES, Place, TrimResistor
from retrofit.plan.document import DutyMark, Side
from retrofit.trim.stock import Stock, typed_stock

T = TypeVar("T")

_SIDES: tuple[Side, ...] = ("high", "low", "unknown")


@dataclass(frozen=True)
class Typed:
    """Reads what stands behind options, in the user's decimal mark.

    Attributes
    ----------
    decimal : "." or ","
        The user's decimal mark.
    """

    decimal: DecimalMark

    def amount(self, option: str, text: str | None, kind: Kind) -> Amount | None:
        """Return the quantity behind an option, None where it was not given.

        Examples
        --------
        >>> Typed(".").amount("--supply", "13.5 V", Kind.VOLTAGE)
        Amount(number=13.5, unit='V')
        """
        if text is None:
            return None
        return _behind(option, lambda: parse(text, kind, decimal=self.decimal))

    def mark(self, text: str, kind: Kind) -> DutyMark:
        """Return a mark that matters: ``NAME=VALUE[:flatters=SIDE][:allowed=ERROR]``.

        Examples
        --------
        >>> mark = Typed(".").mark("alarm=98 °C:flatters=low:allowed=3 °C", Kind.TEMPERATURE)
        >>> mark.name, str(mark.at), mark.flatters, str(mark.allowed)
        ('alarm', '98 °C', 'low', '3 °C')
        """

        def read() -> DutyMark:
            name, value, more = _taken_apart(text, ("flatters", "allowed"), "mark")
            side = more.get("flatters", "unknown")
            if side not in _SIDES:
                raise user_error("cli.new.side", text=shown(side))
            allowed = more.get("allowed")
            return DutyMark(
                name,
                parse(value, kind, decimal=self.decimal),
                None if allowed is None else parse(allowed, difference(kind), decimal=self.decimal),
                side,
            )

        return _behind(f'--mark "{shown(text)}"', read)

    def trim(self, text: str) -> TrimResistor:
        """Return a trim resistor: ``PLACE=OHMS[:tolerance=…][:rating=…]``.

        Examples
        --------
        >>> Typed(".").trim("across sender=430 Ω:tolerance=1 %").place
        'across sender'
        """

        def read() -> TrimResistor:
            name, value, more = _taken_apart(text, ("tolerance", "rating"), "trim")
            tolerance, rating = more.get("tolerance"), more.get("rating")
            return TrimResistor(
                _place(name),
                parse(value, Kind.RESISTANCE, decimal=self.decimal),
                None
                if tolerance is None
                else Tolerance(parse(tolerance, Kind.FRACTION, default="%", decimal=self.decimal)),
                None if rating is None else parse(rating, Kind.POWER, decimal=self.decimal),
            )

        return _behind(f'--trim "{shown(text)}"', read)

    def resistors(self, text: str) -> Stock:
        """Return resistors typed one after the other: ``10, 22, 4k7``; behind ; or , or blanks.

        Examples
        --------
        >>> [one.value for one in Typed(".").resistors("10,22,4k7").resistors]
        [10.0, 22.0, 4700.0]
        """
        return _behind("--values", lambda: typed_stock(text, self.decimal))

    def terminals(self, text: str | None, error: str | None) -> TerminalReadings | None:
        """Return the three readings between a gauge's terminals: ``440,260,180``.

        In order: supply to earth, supply to signal, signal to earth.
        """
        if text is None:
            return None

        def read() -> TerminalReadings:
            pieces = text.split(";" if ";" in text else ",")
            if len(pieces) != 3:
                raise user_error("cli.new.three_readings", text=shown(text))
            if error is None:
                raise user_error("cli.new.meter_error")
            ohms = [parse(piece, Kind.RESISTANCE, decimal=self.decimal) for piece in pieces]
            share = parse(error, Kind.FRACTION, default="%", decimal=self.decimal)
            return TerminalReadings(ohms[0], ohms[1], ohms[2], share)

        return _behind("--terminals", read)


def gathered(readers: Sequence[Callable[[], T]]) -> list[T]:
    """Return what each reader gives, or raise all their problems together.

    Raises
    ------
    UserError
        With the problems of every reader that failed.
    """
    found: list[T] = []
    problems: list[Message] = []
    for read in readers:
        try:
            found.append(read())
        except UserError as error:
            problems += error.messages
    if problems:
        raise UserError(problems)
    return found


def _behind(option: str, read: Callable[[], T]) -> T:
    try:
        return read()
    except UserError as error:
        raise UserError(
            [message("cli.option", option=option, problem=one) for one in error.messages]
        ) from None


def _taken_apart(text: str, options: Sequence[str], what: str) -> tuple[str, str, dict[str, str]]:
    """Split ``NAME=VALUE:option=…`` into its name, its value and its options."""
    name, sign, rest = text.partition("=")
    if not sign or not name.strip():
        raise user_error(f"cli.new.no_{what}", text=shown(text))
    value, *more = rest.split(":")
    found: dict[str, str] = {}
    for piece in more:
        option, equals, setting = piece.partition("=")
        if not equals or option.strip() not in options:
            known = ", ".join(options)
            raise user_error("cli.new.no_such_detail", text=shown(piece), known=known)
        found[option.strip()] = setting.strip()
    return name.strip(), value.strip(), found


def _place(name: str) -> Place:
    for place in PLACES:
        if " ".join(name.replace("-", " ").split()).casefold() == place.replace("-", " "):
            return place
    raise user_error("cli.new.place", text=shown(name), known=", ".join(PLACES))
