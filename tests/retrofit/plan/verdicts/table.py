"""Every case, and every verdict that each check can give."""

from __future__ import annotations

from tests.retrofit.plan.verdicts.coils import READ, STATED, UNREAD
from tests.retrofit.plan.verdicts.curve import CURVE
from tests.retrofit.plan.verdicts.doubt import COPPER, SPREAD
from tests.retrofit.plan.verdicts.installed import INSTALLED
from tests.retrofit.plan.verdicts.knowledge import DIAL
from tests.retrofit.plan.verdicts.marks import FLATTERS, MARK
from tests.retrofit.plan.verdicts.parts import DIRECTION, OTHERS, RANGE, SIGNAL
from tests.retrofit.plan.verdicts.sharers import SHARERS
from tests.retrofit.plan.verdicts.trim import CURRENT, POWER, TESTS, WIPER
from tests.retrofit.plan.verdicts.wiring import EARTH, SUPPLY

CASES = [
    *SIGNAL,
    *RANGE,
    *DIRECTION,
    *MARK,
    *FLATTERS,
    *CURVE,
    *DIAL,
    *SUPPLY,
    *EARTH,
    *OTHERS,
    *STATED,
    *READ,
    *UNREAD,
    *POWER,
    *CURRENT,
    *WIPER,
    *TESTS,
    *INSTALLED,
    *SHARERS,
    *COPPER,
    *SPREAD,
]

VERDICTS = {
    "signal": {"good", "stop", "unknown"},
    "range": {"good", "caution", "stop", "unknown"},
    "direction": {"good", "caution", "stop", "unknown"},
    "mark": {"good", "caution", "stop", "unknown"},
    "flatters": {"good", "caution", "stop", "unknown"},
    "curve": {"good", "caution", "stop", "unknown"},
    "dial": {"good", "caution", "stop", "unknown"},
    "supply": {"good", "caution", "stop", "unknown"},
    "coils": {"good", "caution", "unknown"},
    "earth": {"good", "caution", "stop", "unknown"},
    "stations": {"good", "caution", "unknown"},
    "controller": {"good", "stop", "unknown"},
    "power": {"good", "caution", "stop", "unknown"},
    "current": {"good", "caution", "stop", "unknown"},
    "wiper": {"good", "stop", "unknown"},
    "tests": {"good", "caution", "unknown"},
    "wires": {"good", "caution", "stop", "unknown"},
    "offset": {"good", "caution", "stop", "unknown"},
    "cranking": {"good", "caution", "unknown"},
    "lamp": {"good", "caution", "stop", "unknown"},
    "second": {"good", "caution", "stop", "unknown"},
    "alone": {"good", "caution", "stop", "unknown"},
    "polarity": {"good", "caution", "unknown"},
    "copper": {"good", "caution", "stop", "unknown"},
    "spread": {"good", "unknown"},
}
"""Every verdict that each check can give."""
