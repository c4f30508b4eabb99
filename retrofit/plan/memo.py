"""Stages remembered by the identity of the immutable parts that they read."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

_KEPT = 64


def staged(stage: Callable[P, R]) -> Callable[P, R]:
    """Let a pure function of immutable objects remember its last results.

    The key is the identity of each positional argument, so it costs nothing however large a
    plan is; the arguments are kept with the result, so an identity cannot be given away.

    Examples
    --------
    >>> @staged
    ... def doubled(parts: tuple[int, ...]) -> tuple[int, ...]:
    ...     return parts + parts
    >>> parts = (1, 2)
    >>> doubled(parts) is doubled(parts)
    True
    """
    kept: OrderedDict[tuple[int, ...], tuple[tuple[object, ...], R]] = OrderedDict()
    lock = threading.Lock()

    @wraps(stage)
    def remembered(*args: P.args, **kwargs: P.kwargs) -> R:
        key = tuple(id(arg) for arg in args)
        with lock:
            if key in kept and not kwargs:
                kept.move_to_end(key)
                return kept[key][1]
        result = stage(*args, **kwargs)
        if not kwargs:
            with lock:
                kept[key] = (args, result)
                while len(kept) > _KEPT:
                    kept.popitem(last=False)
        return result

    return remembered
