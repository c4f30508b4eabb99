"""The shortest chain of stock pieces from a port to a sender, and what it brings with it."""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, reduce

from catalog.errors import user_error
from catalog.fittings.adapters import Adapter, adapters
from catalog.fittings.seals import JointKind
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from catalog.threads.standards import thread
from catalog.threads.thread import Gender, Thread
from retrofit.fit.thread_fit import ThreadFit, thread_fit
from retrofit.fit.verdict import COMMON, FitCheck, Verdict, worst

MOST_PIECES = 3

LEAST_WALL = 0.5e-3
"""Least wall between the two threads of a bush [m] (assumed): the everyday 1/4 to 1/8 bush leaves
0.5 to 0.7 mm."""


@dataclass(frozen=True)
class Chain:
    """Pieces from the port outwards.

    Attributes
    ----------
    port, sender : Thread
        The female of the engine and the male of the sender.
    pieces : tuple of Adapter
        Empty where the sender goes straight in.
    joints : tuple of ThreadFit
        One more than pieces, from the port to the sender; in the shortest chain each goes.
    """

    port: Thread
    sender: Thread
    pieces: tuple[Adapter, ...]
    joints: tuple[ThreadFit, ...]

    @property
    def added(self) -> float:
        """Length between the port's face and the sender's [m], hoses included."""
        return sum(piece.added for piece in self.pieces)

    @property
    def stands_off(self) -> float:
        """Rigid length that stands off the engine [m]: up to the first hose."""
        rigid = itertools.takewhile(lambda piece: piece.kind != "hose", self.pieces)
        return sum(piece.added for piece in rigid)

    @property
    def remote(self) -> bool:
        """Whether a hose is in it."""
        return any(piece.kind == "hose" for piece in self.pieces)

    @property
    def leaks(self) -> int:
        """Places that can leak: each joint, each further port of a tee, either end of a hose."""
        ports = sum(len(piece.more_females) for piece in self.pieces)
        hoses = sum(2 for piece in self.pieces if piece.kind == "hose")
        return len(self.joints) + ports + hoses

    @property
    def least_bore(self) -> float:
        """Narrowest passage [m]; inf without a piece."""
        return min((piece.bore for piece in self.pieces), default=math.inf)

    def seals(
        self, in_thread: JointKind = "compound", face: JointKind = "crush washer"
    ) -> tuple[JointKind, ...]:
        """Return a seal for each joint, and the hoses, as the earth meets them."""
        found: list[JointKind] = [
            in_thread if joint.outcome == "goes with seal" else face for joint in self.joints
        ]
        found += ["hose" for piece in self.pieces if piece.kind == "hose"]
        return tuple(found)

    def earth_lead_required(self, seals: Sequence[JointKind] | None = None) -> bool:
        """Return whether a body-return sender needs an earth lead of its own.

        A hose breaks the earth; compound or tape in a joint, and a tee that works loose on its
        stub, leave it to chance (common practice, no source).
        """
        found = self.seals() if seals is None else tuple(seals)
        tee = any(piece.kind == "tee" for piece in self.pieces)
        return tee or any(seal in ("hose", "compound", "tape") for seal in found)


@lru_cache(maxsize=4096)
def _fit(male: str, female: str) -> ThreadFit:
    return thread_fit(thread(male), thread(female))


def _joint(male: Thread, female: Thread) -> ThreadFit | None:
    """Return the joint of two ends; None where it does not go."""
    if male.male is None or female.female is None:
        return None
    found = _fit(male.key, female.key)
    return found if found.goes else None


def _doubt(joint: ThreadFit) -> int:
    return int(joint.check.verdict != "good")


def shortest_chain(
    port: Thread,
    sender: Thread,
    *,
    stock: Sequence[Adapter] | None = None,
    through: str | None = None,
    most: int = MOST_PIECES,
) -> Chain | None:
    """Return the chain with the fewest pieces from a port to a sender.

    Every joint is judged by ``thread_fit`` and must go. Of as many pieces, the chain with the
    fewest joints that are a caution comes first, then the shortest.

    Parameters
    ----------
    port : Thread
        The engine's female thread.
    sender : Thread
        The sender's male thread.
    stock : sequence of Adapter, optional
        Pieces to choose from; the generic stock when left out.
    through : str, optional
        Kind of piece that must be in the chain: "tee" for a second sender or switch, "hose" for
        remote mounting. Hoses and tees are used only when asked for.
    most : int
        Longest chain, 0 to 5 pieces.

    Returns
    -------
    Chain or None
        None where the stock has none of that length.

    Raises
    ------
    UserError
        Where the port has no female thread or the sender no male one.

    Notes
    -----
    Tests: ``tests/retrofit/fit/test_adapters.py`` compares with all chains tried one by one.

    Examples
    --------
    >>> chain = shortest_chain(thread("m14x1.5"), thread("npt-1-8"))
    >>> [piece.name for piece in chain.pieces], chain.leaks
    (['Bush, M14x1.5 male to 1/8 NPT female'], 2)
    """
    if port.female is None:
        raise user_error("thread_fit.no_female", name=port.designation)
    if sender.male is None:
        raise user_error("thread_fit.no_male", name=sender.designation)
    held = [
        piece
        for piece in (adapters() if stock is None else stock)
        if piece.kind not in ("tee", "hose") or piece.kind == through
    ]
    order = itertools.count()
    # A chain that takes the sender goes back into the queue as done: its last joint counts too.
    queue: list[tuple[int, int, float, int, bool, tuple[Adapter, ...]]] = [
        (0, 0, 0.0, next(order), False, ())
    ]
    while queue:
        count, doubts, length, _, done, pieces = heapq.heappop(queue)
        if done:
            return _chain(port, sender, pieces)
        open_end = pieces[-1].female if pieces else port
        has = through is None or any(piece.kind == through for piece in pieces)
        last = _joint(sender, open_end) if has else None
        if last is not None:
            cost = doubts + _doubt(last)
            heapq.heappush(queue, (count, cost, length, next(order), True, pieces))
        for piece in held if count < most else ():
            joint = None if piece in pieces else _joint(piece.male, open_end)
            if joint is not None:
                cost, grown = doubts + _doubt(joint), (*pieces, piece)
                added = length + piece.added
                heapq.heappush(queue, (count + 1, cost, added, next(order), False, grown))
    return None


def chain_of(port: Thread, sender: Thread, keys: Sequence[str]) -> Chain:
    """Return the chain of pieces that somebody chose, whether its joints go or not.

    Parameters
    ----------
    port, sender : Thread
        The engine's female thread and the sender's male one.
    keys : sequence of str
        Keys of the generic stock, from the port outwards; unknown ones are left out.

    Raises
    ------
    UserError
        Where the port has no female thread or the sender no male one.

    Examples
    --------
    >>> chain = chain_of(thread("m10x1"), thread("npt-1-8"), ["adapter-m10-npt-1-8"])
    >>> [joint.outcome for joint in chain.joints]
    ['goes', 'goes with seal']
    """
    stock = {piece.key: piece for piece in adapters()}
    return _chain(port, sender, tuple(stock[key] for key in keys if key in stock))


def _chain(port: Thread, sender: Thread, pieces: tuple[Adapter, ...]) -> Chain:
    females = [port, *(piece.female for piece in pieces)]
    males = [*(piece.male for piece in pieces), sender]
    joints = tuple(_fit(male.key, female.key) for male, female in zip(males, females, strict=True))
    return Chain(port, sender, pieces, joints)


def _length(value: float) -> SiValue:
    return SiValue(value, Kind.LENGTH)


def piece_says(piece: Adapter) -> Message:
    """Return a piece in words: what it is, and its two ends."""
    ends = {"male": piece.male.designation, "female": piece.female.designation}
    return message(f"piece.{piece.kind}", **ends, added=_length(piece.added))


def pieces_say(pieces: Sequence[Adapter]) -> Message:
    """Return pieces in words, one after the other from the port; at least one."""
    told = [piece_says(piece) for piece in pieces]
    return reduce(lambda done, one: message("words.comma", first=done, then=one), told)


def partner(of: Thread, gender: Gender) -> Thread:
    """Return the proper male or female for a thread: its own, else R or Rc of the same size.

    Examples
    --------
    >>> [partner(thread(key), "male").key for key in ("rp-1-4", "m14x1.5")]
    ['r-1-4', 'm14x1.5']
    """
    if of.part(gender) is not None:
        return of
    size = of.key.removesuffix("-a").split("-", 1)[1]
    if of.series == "G":
        return thread(f"g-{size}")
    return thread(f"{'r' if gender == 'male' else 'rc'}-{size}")


def bush_wall(outside: Thread, inside: Thread) -> float:
    """Return the wall that a bush has between its male and its female thread [m].

    Half of the male's root diameter, of a taper one at its last full thread under the hexagon, less
    the female's root at its face, both halfway between their limits; NaN where the standard has no
    such part, below 0 where the female is the larger one.

    Parameters
    ----------
    outside, inside : Thread
        Of the male and of the female.

    Notes
    -----
    Tests: ``tests/retrofit/fit/test_adapters.py``.

    Examples
    --------
    >>> round(bush_wall(thread("g-1-2"), thread("m14x1.5")) * 1e3, 1)
    2.1
    """
    male, female = outside.male, inside.female
    if male is None or female is None:
        return math.nan
    root = male.minor.middle + outside.taper * (outside.useful_length or 0.0)
    return (root - female.major.middle) / 2.0


def _why_none(port: Thread, sender: Thread) -> Message:
    """Return whether a bush could be turned, or why it cannot."""
    outside, inside = partner(port, "male"), partner(sender, "female")
    wall = bush_wall(outside, inside)
    ends = {"male": outside.designation, "female": inside.designation}
    if wall >= LEAST_WALL:
        return message("chain.none_bush", wall=_length(wall), **ends)
    if wall > 0.0:
        return message("chain.none_thin", wall=_length(wall), least=_length(LEAST_WALL), **ends)
    return message("chain.none_wider", **ends)


def chain_check(chain: Chain | None, port: Thread, sender: Thread) -> FitCheck:
    """Return the verdict on a chain: none and why, straight in, or with its leak places.

    Taper threads spread a casting: it says so where one is screwed into the engine.
    """
    ends = {"port": port.designation, "sender": sender.designation}
    if chain is None:
        says, why = message("chain.none", **ends), _why_none(port, sender)
        return FitCheck("chain", "stop", says, why, basis=COMMON, field="adapters")
    joints = worst(joint.check.verdict for joint in chain.joints)
    if not chain.pieces:
        says, why = message("chain.straight", **ends), message("chain.straight_how")
        return FitCheck("chain", joints, says, why, basis=COMMON, field="adapters")
    says = message("chain.pieces", names=pieces_say(chain.pieces), added=_length(chain.added))
    why = message("chain.leaks", leaks=chain.leaks, bore=_length(chain.least_bore))
    single = len(chain.pieces) == 1 and not chain.remote
    verdict: Verdict = joints if single else worst((joints, "caution"))
    return FitCheck("chain", verdict, says, why, _length(chain.added), None, COMMON, "adapters")


def lag_check(chain: Chain, quantity: str) -> FitCheck | None:
    """Return what a chain does to the speed of a temperature reading; None elsewhere.

    A sender drawn out of the flow by an adapter reads the adapter's metal, late and too low; how
    late depends on what flows past, which nobody knows beforehand.
    """
    if quantity != "temperature" or not chain.pieces:
        return None
    says = message("chain.lag", added=_length(chain.added))
    verdict: Verdict = "stop" if chain.remote else "caution"
    why = message("chain.lag_hose" if chain.remote else "chain.lag_how")
    return FitCheck("lag", verdict, says, why, _length(chain.added), None, COMMON, "adapters")


def remote_check(chain: Chain, earth_return: str, lead: bool) -> FitCheck | None:
    """Return what a hose does to a body return; None without a hose."""
    if not chain.remote:
        return None
    says = message("remote.hose")
    verdict: Verdict
    if earth_return == "unknown":
        verdict, key = "unknown", "remote.ask"
    elif earth_return == "body" and not lead:
        verdict, key = "stop", "remote.lead"
    else:
        verdict, key = "caution", "remote.burst"
    return FitCheck("remote", verdict, says, message(key), basis=COMMON, field="earth_lead")
