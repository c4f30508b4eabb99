"""What hangs together in a circuit: separate parts, and loops of ideal elements.

Pure graph work on numbered nodes; it knows neither ohms nor volts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

EARTH = 0
"""Number of the node that voltages are counted from."""


class Link(IntEnum):
    """How an element joins its two ends."""

    OPEN = 0
    RESISTIVE = 1
    IDEAL = 2


@dataclass(frozen=True)
class Loop:
    """A closed way through ideal elements.

    Attributes
    ----------
    closing : int
        The element that closed it; the others of the loop form no loop without it.
    steps : tuple of (int, int)
        Elements on the way, each with +1 where it is passed from its first end to its
        second and −1 the other way round.
    """

    closing: int
    steps: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Connections:
    """The separate parts of a circuit and its loops of ideal elements.

    Attributes
    ----------
    parts : tuple of int
        Part of each node, 0 for the part that holds the earth.
    loops : tuple of Loop
        One for each ideal element that closes a loop.
    """

    parts: tuple[int, ...]
    loops: tuple[Loop, ...]


def connections(nodes: int, ends: Sequence[tuple[int, int]], links: Sequence[Link]) -> Connections:
    """Find the parts and the loops of ideal elements.

    Parameters
    ----------
    nodes : int
        Number of nodes; node 0 is the earth.
    ends : sequence of (int, int)
        First and second end of each element.
    links : sequence of Link
        How each element joins its ends.

    Returns
    -------
    Connections
        Parts are numbered in the order of their lowest node.

    Examples
    --------
    >>> connections(4, [(0, 1), (2, 3), (1, 2)], [Link.IDEAL, Link.RESISTIVE, Link.OPEN]).parts
    (0, 0, 1, 1)
    """
    root = list(range(nodes))
    for (a, b), link in zip(ends, links, strict=True):
        if link is not Link.OPEN:
            low, high = sorted((_root(root, a), _root(root, b)))
            root[high] = low
    roots = [_root(root, node) for node in range(nodes)]
    numbers = {found: number for number, found in enumerate(sorted(set(roots)))}
    return Connections(tuple(numbers[found] for found in roots), _loops(ends, links))


def _root(root: list[int], node: int) -> int:
    while root[node] != node:
        root[node] = root[root[node]]
        node = root[node]
    return node


def _loops(ends: Sequence[tuple[int, int]], links: Sequence[Link]) -> tuple[Loop, ...]:
    # A forest of ideal elements; one that finds its ends already joined closes a loop.
    forest: dict[int, list[tuple[int, int, int]]] = {}
    loops = []
    for number, ((a, b), link) in enumerate(zip(ends, links, strict=True)):
        if link is not Link.IDEAL:
            continue
        back = _way(forest, b, a)
        if back is None:
            forest.setdefault(a, []).append((b, number, +1))
            forest.setdefault(b, []).append((a, number, -1))
        else:
            loops.append(Loop(number, ((number, +1), *back)))
    return tuple(loops)


def _way(
    forest: dict[int, list[tuple[int, int, int]]], start: int, goal: int
) -> tuple[tuple[int, int], ...] | None:
    reached: dict[int, tuple[tuple[int, int], ...]] = {start: ()}
    pending = [start]
    while pending:
        node = pending.pop()
        for other, number, sign in forest.get(node, ()):
            if other not in reached:
                reached[other] = (*reached[node], (number, sign))
                pending.append(other)
    return reached.get(goal)
