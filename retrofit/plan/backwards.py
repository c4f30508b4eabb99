"""Whether a proposal has nothing to propose because sender and dial run opposite ways."""

from __future__ import annotations

from retrofit.plan.trims import Proposal
from retrofit.trim.laws import Law


def runs_backwards(found: Proposal) -> bool:
    """Return whether resistors are not worth a word: none of them turns a direction round.

    Parameters
    ----------
    found : Proposal
        What was proposed, with its proof.
    """
    return found.proof is not None and found.proof.refusal.law is Law.DIRECTION
