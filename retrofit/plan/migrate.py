"""Plans of older versions, brought up to date one numbered step at a time.

A step takes the dict form of a plan of one version and returns that of the next; it knows
nothing of the dataclasses, which have moved on since.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from catalog.errors import BugError

Step = Callable[[dict[str, Any]], dict[str, Any]]


@dataclass(frozen=True)
class Migrations:
    """The versions of a format that this program knows.

    Attributes
    ----------
    version : int
        The version that it writes.
    steps : mapping of int to step
        For each older version the step to the next one.
    """

    version: int
    steps: Mapping[int, Step] = field(default_factory=dict)

    @property
    def oldest(self) -> int:
        """The oldest version that can be read."""
        return min(self.steps, default=self.version)

    def migrated(self, plan: dict[str, Any], version: int) -> dict[str, Any]:
        """Return the dict form of a plan in the version that this program writes.

        Parameters
        ----------
        plan : dict
            As it stands in a file of version `version`; it is left as it is.
        version : int
            From `oldest` to the present version.

        Raises
        ------
        BugError
            Where a step between the two is missing.

        Examples
        --------
        >>> renamed = Migrations(2, {1: lambda plan: {"name": plan["title"]}})
        >>> renamed.migrated({"title": "launch"}, 1)
        {'name': 'launch'}
        """
        for number in range(version, self.version):
            if number not in self.steps:
                raise BugError(f"no step from plan version {number} to {number + 1}")
            plan = self.steps[number](plan)
        return plan


def _one_to_two(plan: dict[str, Any]) -> dict[str, Any]:
    """Return a plan of version 1 as it is.

    Version 2 adds fields that may be left out: wires, earths, loads, lamp and second gauge of
    the installation, the fit of a pairing, the fitting of a sender, limits and warning of the
    duty. A program of version 1 would refuse them, so they needed a new number.
    """
    return dict(plan)


MIGRATIONS = Migrations(version=2, steps={1: _one_to_two})
"""What this program reads and writes. A new version adds one step here, with its test."""
