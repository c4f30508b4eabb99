"""A sum in words, for whoever shows it: paper, window and command line say the same."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.message import SiValue
from catalog.provenance import Basis
from retrofit.plan.sums import COMPUTED, ENTERED, Input, Sum
from retrofit.sheet.wording import Wording


@dataclass(frozen=True)
class SumText:
    """A sum, finished to be read.

    Attributes
    ----------
    title : str
        Which number.
    result : str
        The number with its unit.
    formula : str
        With its symbol before it; "" where there is none.
    inputs : tuple of str
        A line each: symbol, number, what it is and where it comes from.
    method : str
        How it was found; "" where the formula says it all.
    """

    title: str
    result: str
    formula: str
    inputs: tuple[str, ...]
    method: str


def sum_text(found: Sum, words: Wording) -> SumText:
    """Return a sum in the reader's units.

    Parameters
    ----------
    found : Sum
        How a number was made.
    words : Wording
        Language and units.
    """
    result = words.value(found.result.value, found.result.kind)
    formula = found.formula
    if formula:
        *steps, last = formula.split("; ")
        formula = "; ".join([*steps, f"{found.symbol} = {last}" if found.symbol else last])
    return SumText(
        words.text(found.title),
        result,
        formula,
        tuple(_input(one, words) for one in found.inputs),
        "" if found.method is None else words.text(found.method),
    )


def _input(one: Input, words: Wording) -> str:
    value = one.value
    if isinstance(value, SiValue):
        shown = words.value(value.value, value.kind)
    else:
        shown = f"{value:.7g}".replace("-", "−").replace(".", words.renderer.style.decimal)
    head = f"{one.symbol} = {shown}" if one.symbol else shown
    return words.say("sum.input", head=head, name=one.name, basis=where_from(one.basis, words))


def where_from(basis: Basis, words: Wording) -> str:
    """Return where an input comes from: entered, computed, or as it is known."""
    if basis == COMPUTED:
        return words.say("sum.computed")
    return words.say("sum.entered") if basis == ENTERED else words.basis(basis)
