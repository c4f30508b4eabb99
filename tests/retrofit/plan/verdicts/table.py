"""Every case, and every verdict that each check can give."""

from __future__ import annotations

from tests.retrofit.plan.verdicts.knowledge import DIAL, SUPPLY
from tests.retrofit.plan.verdicts.marks import FLATTERS, MARK
from tests.retrofit.plan.verdicts.parts import DIRECTION, OTHERS, RANGE, SIGNAL

CASES = [*SIGNAL, *RANGE, *DIRECTION, *MARK, *FLATTERS, *DIAL, *SUPPLY, *OTHERS]

VERDICTS = {
    "signal": {"good", "stop", "unknown"},
    "range": {"good", "caution", "stop", "unknown"},
    "direction": {"good", "caution", "stop", "unknown"},
    "mark": {"good", "caution", "stop", "unknown"},
    "flatters": {"good", "caution", "stop", "unknown"},
    "dial": {"good", "caution", "stop", "unknown"},
    "supply": {"good", "caution", "stop", "unknown"},
    "coils": {"good", "unknown"},
    "stations": {"good", "caution"},
    "controller": {"good", "stop", "unknown"},
}
"""Every verdict that each check can give."""
