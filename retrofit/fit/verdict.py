"""What the fit found: one question with its answer, field for field what a check holds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from catalog.message import Message, SiValue
from catalog.provenance import Basis, BasisKind

Verdict = Literal["good", "caution", "stop", "unknown"]

SEVERITY: tuple[Verdict, ...] = ("stop", "caution", "unknown", "good")
"""Worst first."""

COMPUTED = Basis(BasisKind.UNSTATED, "computed from the parts of this plan")
COMMON = Basis(BasisKind.COMMON_PRACTICE)
ASSUMED = Basis(BasisKind.ASSUMED)


@dataclass(frozen=True)
class FitCheck:
    """One question of the fit with its answer.

    Attributes
    ----------
    name : str
        Which question: "thread", "engagement", "chain", "lag", "overhang", "remote", "seal",
        "seal contact", "fit earth", "return", "pressure", "medium", "temperature", "in fuel",
        "immersion", "bore", "air pocket", "electrolysis", "place", "shared", "terminals",
        "switch point", "switch test", "contact", "contact rating", "broken wire", "lamp glow",
        "excitation", "panel hole", "panel depth".
    verdict : str
        "good", "caution", "stop" or "unknown".
    says, why : Message
        What it is, then why and what to do.
    number, limit : SiValue or None
        The number that was judged and its limit.
    basis : Basis
        What the judgement rests on.
    field : str
        Field of the fitting that mends it.
    """

    name: str
    verdict: Verdict
    says: Message
    why: Message
    number: SiValue | None = None
    limit: SiValue | None = None
    basis: Basis = COMPUTED
    field: str = ""


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """Return the worst of some verdicts, "unknown" where there are none.

    Examples
    --------
    >>> worst(["good", "unknown", "caution"]), worst([])
    ('caution', 'unknown')
    """
    return min(verdicts, key=SEVERITY.index, default="unknown")
