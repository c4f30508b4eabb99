"""Random pairings in two forms: as a question, and in the plain loop's plain numbers."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from catalog.curves.family import EndsOnly
from catalog.curves.formulas import Beta
from catalog.curves.interpolated import Interpolated
from retrofit.trim.question import Flattery, Question
from retrofit.trim.signal_node import SignalNode
from tests.trim import plain_loop


@dataclass(frozen=True)
class Both:
    """One pairing in both forms, with the values of its resistors."""

    question: Question
    plain: plain_loop.Pairing
    values: Array


def random_pairing(draw: np.random.Generator) -> Both:
    """A pairing of any movement, dial and sender, some with limits and an earth path."""
    dial, value = _dial(draw)
    node, apparent = _gauge(draw)
    count = int(draw.integers(4, 9))
    x = np.linspace(dial.low, dial.high, count)
    ends = np.sort(draw.uniform(0.0, 300.0, 2))
    if draw.random() < 0.15:
        ends[0] = 0.0
    # Mostly the right way round, sometimes hopeless.
    if dial.rising == (draw.random() < 0.1):
        ends = ends[::-1]
    bend = draw.uniform(0.3, 3.0)
    ohms = ends[0] + (ends[1] - ends[0]) * np.linspace(0.0, 1.0, count) ** bend
    allowed = (dial.high - dial.low) * draw.uniform(0.02, 0.1) * draw.choice([1.0, 1.0, 2.0], count)
    earth = float(draw.choice([0.0, 0.0, 0.3, 2.0]))
    limits = None
    if draw.random() < 0.3:
        side = draw.choice([-1.0, 0.0, 1.0], count) if draw.random() < 0.5 else np.ones(count)
        limits = Flattery(side, allowed * draw.choice([0.0, 1.0, 6.0]))
    question = Question(x, ohms, allowed, dial, node, earth, limits)
    points = tuple(zip(x.tolist(), ohms.tolist(), allowed.tolist(), strict=True))
    pairs = (
        ()
        if limits is None
        else tuple(zip(limits.side.tolist(), limits.limit.tolist(), strict=True))
    )
    plain = plain_loop.Pairing(points, apparent, value, earth, pairs, node.pull_up)
    logs = draw.uniform(0.0, math.log(10_000.0), int(draw.integers(3, 7)))
    values = np.array(sorted({round(math.exp(log), 2) for log in logs.tolist()}))
    return Both(question, plain, values)


def _dial(draw: np.random.Generator) -> tuple[Characteristic, Callable[[float], float]]:
    kind = draw.integers(3)
    low, high = np.sort(draw.uniform(0.0, 300.0, 2)).tolist()
    high += 10.0
    if kind == 0:
        ends = (low, high) if draw.random() < 0.5 else (high, low)
        q = float(draw.choice([0.3, 0.5, 1.0, 1.4]))
        return EndsOnly(0.0, 1.0, *ends, q=q), plain_loop.family(0.0, 1.0, *ends, q)
    if kind == 1:
        beta, cold = float(draw.uniform(2500.0, 4500.0)), float(draw.uniform(300.0, 3000.0))
        return Beta(40.0, 120.0, cold, beta), plain_loop.thermistor(beta, cold)
    middle = low + (high - low) * float(draw.uniform(0.1, 0.9))
    ohms = (low, middle, high) if draw.random() < 0.5 else (high, middle, low)
    marks = tuple(zip((0.0, 5.0, 10.0), ohms, strict=True))
    return Interpolated(marks, straight=True, known=True), plain_loop.lines(marks)


def _gauge(draw: np.random.Generator) -> tuple[SignalNode, Callable[[float, float], float]]:
    ohm, other = draw.uniform(20.0, 400.0, 2).tolist()
    supply, marked = float(draw.uniform(9.0, 15.0)), float(draw.uniform(9.0, 15.0))
    kind = draw.integers(5)
    if kind == 0:
        node = SignalNode.plain_source(
            supply * other / (ohm + other), ohm * other / (ohm + other), supply
        )
        return node, plain_loop.coils(ohm, other, supply)
    if kind == 1:
        return SignalNode.winding(ohm, marked, supply), plain_loop.winding(ohm, marked, supply)
    if kind == 2:
        # A reference above the supply: the pull-up then lowers what it should raise.
        volts = float(draw.choice([5.0, 18.0]))
        node = SignalNode.plain_source(volts, ohm, supply)
        return node, plain_loop.input_of(ohm, volts, volts, supply)
    if kind == 3:
        node = SignalNode(supply, ohm, supply, ohm, 0.0, marked)
        return node, plain_loop.input_of(ohm, supply, marked, supply)
    return SignalNode.path_only(), plain_loop.bare
