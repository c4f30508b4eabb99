"""What trims are wanted: from which resistors, how many; and the resistors they become."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.errors import user_error
from catalog.message import Message
from catalog.provenance import Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.installation import TrimResistor
from retrofit.plan.document import Duty, Pairing, Plan
from retrofit.plan.loads import loads_of
from retrofit.plan.stages import POINTS as CURVE
from retrofit.plan.trim_question import POINTS as STEPS
from retrofit.plan.trim_question import Beyond, sender_filter
from retrofit.trim.answer import Answer, Trim, Wishes
from retrofit.trim.deciding import best_over_all
from retrofit.trim.power import DERATING, needed_rating
from retrofit.trim.preferred import CUSTOMARY_TOLERANCE, Series, values
from retrofit.trim.question import Question
from retrofit.trim.search import Watch
from retrofit.trim.stock import Stock, StockResistor
from retrofit.trim.ties import Filter

LEAST, MOST = 1.0, 10_000.0
"""Ohms between which resistors are taken unless said otherwise [Ω]."""

UNSAID = 0.05
"""Tolerance of a resistor of the stock that nobody stated [1] (assumed)."""


@dataclass(frozen=True)
class TrimWishes:
    """What trims are wanted, as a user says it.

    Attributes
    ----------
    values : str or Stock
        A series of preferred values, or the user's own resistors.
    low, high : float
        Ohms between which they are taken [Ω].
    most : int
        Largest number of resistors, 1 to 3.
    pull_up : bool
        Whether a pull-up may be proposed.
    beyond : Beyond or None
        Where no flattering is wanted; None: an error to either side counts alike.
    """

    values: Series | Stock = "E24"
    low: float = LEAST
    high: float = MOST
    most: int = 2
    pull_up: bool = False
    beyond: Beyond | None = None

    def __post_init__(self) -> None:
        """Refuse a number of resistors that is not searched."""
        if self.most not in (1, 2, 3):
            raise user_error("trims.most", most=self.most)

    def ohms(self) -> Array:
        """Return the values to choose from, shape (n,) [Ω], increasing.

        Raises
        ------
        UserError
            For a range that holds no value, or an empty stock.
        """
        if isinstance(self.values, Stock):
            return self.values.values(self.low, self.high)
        return values(self.values, self.low, self.high)

    @property
    def tolerance(self) -> float:
        """The resistors' own tolerance [1]; of a stock the widest that it holds."""
        if isinstance(self.values, Stock):
            return max((_tolerance(one) for one in self.values.resistors), default=UNSAID)
        return CUSTOMARY_TOLERANCE[self.values]


def _tolerance(one: StockResistor) -> float:
    if one.tolerance is None:
        return UNSAID
    return one.tolerance.si(one.value, Kind.RESISTANCE) / one.value


def rated(plan: Plan, label: str, trim: Trim, wishes: TrimWishes) -> tuple[TrimResistor, ...]:
    """Return a found trim as resistors of a plan, with tolerance and rating.

    From a series the rating is the customary one that takes what each gets at worst at half of
    it; from a stock it is that of the smallest resistor that does, or of the largest there is.
    """
    bare = tuple(
        TrimResistor(place, Amount(ohm, "Ω"), _percent(wishes.tolerance))
        for place, ohm in trim.resistors
    )
    pairing = replace(plan.pairing(label), trim=bare)
    loads = loads_of(pairing, plan.duty)
    watts = {} if isinstance(loads, Message) else {r.place: ld.watts for r, ld in loads.resistors}
    if isinstance(wishes.values, Stock):
        return tuple(_from_stock(one, wishes.values, watts.get(one.place)) for one in bare)
    needed = {place: needed_rating(each) for place, each in watts.items()}
    return tuple(
        one if needed.get(one.place) is None else replace(one, rating=_watts(needed[one.place]))
        for one in bare
    )


def _watts(rating: float | None) -> Amount | None:
    return None if rating is None else Amount(rating, "W")


def _percent(share: float) -> Tolerance:
    return Tolerance(Amount(round(100.0 * share, 9), "%"))


def _from_stock(one: TrimResistor, stock: Stock, watts: float | None) -> TrimResistor:
    """Return a resistor of a trim as the one of the stock that takes what it gets."""
    ohm = one.value.si(Kind.RESISTANCE)
    enough = () if watts is None else stock.holding(ohm, watts / DERATING)
    all_of_it = stock.holding(ohm)
    rated_ones = [each for each in all_of_it if each.watts is not None]
    if enough:
        taken = enough[0]
    elif rated_ones and watts is not None:
        taken = rated_ones[-1]
    else:
        taken = all_of_it[0]
    return TrimResistor(one.place, taken.ohm, taken.tolerance, taken.watts)


def in_stock(wishes: TrimWishes) -> Filter | None:
    """Return which trims the stock holds all at once; None where it has enough of each."""
    if not isinstance(wishes.values, Stock):
        return None
    pieces: Counter[float] = Counter()
    for one in wishes.values.resistors:
        pieces[one.value] += wishes.most if one.count is None else one.count
    scarce = [(ohm, count) for ohm, count in pieces.items() if count < wishes.most]
    if not scarce:
        return None

    def allowed(p: Array, s1: Array, q: Array, s2: Array, u: Array) -> NDArray[np.bool_]:
        held = np.stack([p, s1, q, s2, u])
        kept = np.ones(p.shape, dtype=np.bool_)
        for ohm, count in scarce:
            kept &= np.sum(np.isclose(held, ohm, rtol=1e-9, atol=0.0), axis=0) <= count
        return kept

    return allowed


def proposable(pairing: Pairing, duty: Duty, wishes: TrimWishes) -> Filter | None:
    """Return which trims may be proposed: within the sender's limits, and there in the stock."""
    filters = [one for one in (sender_filter(pairing, duty), in_stock(wishes)) if one is not None]
    if not filters:
        return None

    def allowed(p: Array, s1: Array, q: Array, s2: Array, u: Array) -> NDArray[np.bool_]:
        kept = np.ones(p.shape, dtype=np.bool_)
        for one in filters:
            kept &= one(p, s1, q, s2, u)
        return kept

    return allowed


def sought(
    question: Question, pairing: Pairing, duty: Duty, wishes: TrimWishes, watch: Watch | None = None
) -> tuple[Question, Answer]:
    """Return the best trims of a pairing over every point of its curve.

    Parameters
    ----------
    question : Question
        What they have to achieve, at the points of the reading curve (``points=CURVE``).
    pairing, duty : Pairing, Duty
        What the sender may be given.
    wishes : TrimWishes
        From which resistors, and how many.
    watch : Watch, optional
        How the caller follows the search.

    Returns
    -------
    (Question, Answer)
        As of `retrofit.trim.deciding.best_over_all`.
    """
    allowed = proposable(pairing, duty, wishes)
    asked = Wishes(wishes.most, wishes.pull_up, wishes.tolerance, allowed)
    return best_over_all(question, _begun_at(duty, question), wishes.ohms(), asked, watch)


def _begun_at(duty: Duty, question: Question) -> NDArray[np.intp]:
    """Return the points of a question at which a search begins: equal steps, and the marks."""
    rows: NDArray[np.intp] = np.arange(len(question.x))
    if duty.allowed_at(None) is None:  # the marks alone are asked for
        return rows
    every = (CURVE - 1) // (STEPS - 1)
    return np.flatnonzero((rows % every == 0) | (rows >= CURVE))
