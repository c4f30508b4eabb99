"""What a user wants besides a true reading: who keeps it, who does not, and why."""

from __future__ import annotations

from dataclasses import replace

import pytest

from catalog.library import load_generic
from catalog.parts.fitting import SenderFitting, WarningSwitch
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from retrofit.finder.filters import PartFilter, by_medium, by_switch, by_thread
from retrofit.finder.rows import Candidate

GAUGE = load_generic().gauges[0]
SENDER = next(one for one in load_generic().senders if one.quantity == "pressure")
SWITCH = WarningSwitch(Amount(0.5, "bar"))


def refusal(wish: PartFilter, fitting: SenderFitting | None) -> str:
    """Key of the reason, empty where the sender keeps the wish."""
    sender: Sender = replace(SENDER, fitting=fitting)
    why = wish.refuses(Candidate(sender.key, GAUGE, sender))
    return "" if why is None else why.key


@pytest.mark.parametrize(
    ("wish", "fitting", "expected"),
    [
        (by_switch(), None, "find.filter.switch_unknown"),
        (by_switch(), SenderFitting(), "find.filter.no_switch"),
        (by_switch(), SenderFitting(switch=SWITCH), ""),
        (by_medium("oil"), None, "find.filter.medium_unknown"),
        (by_medium("oil"), SenderFitting(), "find.filter.medium_unknown"),
        (by_medium("oil"), SenderFitting(media=("water",)), "find.filter.medium"),
        (by_medium("oil"), SenderFitting(media=("water", "oil")), ""),
        (by_thread("1/8-27 NPT"), None, "find.filter.thread_unknown"),
        (by_thread("1/8-27 NPT"), SenderFitting(), "find.filter.thread_unknown"),
        (by_thread("1/8-27 NPT"), SenderFitting(thread="1/8-27 NPT"), ""),
        # A metric thread of about the same diameter: another pitch, so it binds after a few turns.
        (by_thread("1/8-27 NPT"), SenderFitting(thread="M10x1.25"), "find.filter.thread"),
        (by_thread("1/8-27 NPT"), SenderFitting(thread="1/4-18 NPT"), "find.filter.thread"),
    ],
)
def test_that_a_wish_is_kept_or_refused_with_its_reason(
    wish: PartFilter, fitting: SenderFitting | None, expected: str
) -> None:
    assert refusal(wish, fitting) == expected
