"""Stages remembered by the identity of the immutable parts that they read."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from functools import update_wrapper
from typing import Generic, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

_KEPT = 64


class Stage(Generic[P, R]):
    """A pure function of immutable objects that remembers its last results.

    The key is the identity of each positional argument, so it costs nothing however large a
    plan is; the arguments are kept with the result, so an identity cannot be given away. What is
    passed by keyword is no part of it: it may tell how far the work is or end it by an error,
    but never change a result.
    """

    def __init__(self, stage: Callable[P, R]) -> None:
        self._stage = stage
        self._kept: OrderedDict[tuple[int, ...], tuple[tuple[object, ...], R]] = OrderedDict()
        self._lock = threading.Lock()
        update_wrapper(self, stage)

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        """Return the result for these arguments, worked out once."""
        key = tuple(id(arg) for arg in args)
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key][1]
        result = self._stage(*args, **kwargs)
        with self._lock:
            self._kept[key] = (args, result)
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        return result

    def peek(self, *args: P.args, **kwargs: P.kwargs) -> R | None:
        """Return the result for these arguments if it is remembered, else None."""
        del kwargs
        key = tuple(id(arg) for arg in args)
        with self._lock:
            found = self._kept.get(key)
        return None if found is None else found[1]


def staged(stage: Callable[P, R]) -> Stage[P, R]:
    """Let a pure function of immutable objects remember its last results.

    Examples
    --------
    >>> @staged
    ... def doubled(parts: tuple[int, ...]) -> tuple[int, ...]:
    ...     return parts + parts
    >>> parts = (1, 2)
    >>> doubled(parts) is doubled(parts)
    True
    >>> doubled.peek((3,)) is None
    True
    """
    return Stage(stage)
