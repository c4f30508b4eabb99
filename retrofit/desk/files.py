"""Plans to begin with: new ones, the demo, those opened before."""

from __future__ import annotations

import json
import os
from pathlib import Path

from catalog.atomic import save_text
from catalog.errors import UserError
from catalog.message import message
from catalog.parts.fields import QuantityName
from catalog.parts.gauge import Gauge, UnknownMovement
from catalog.parts.laws import UnknownLaw
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from retrofit.desk.journal import Journal, data_folder
from retrofit.desk.session import Session
from retrofit.installation import Installation, Supply
from retrofit.messages import Renderer
from retrofit.plan.document import Duty, Pairing, Plan
from retrofit.plan.file import plan_from_text
from retrofit.shipped import path as shipped

_RANGES: dict[QuantityName, tuple[Amount, Amount]] = {
    "temperature": (Amount(40.0, "°C"), Amount(120.0, "°C")),
    "pressure": (Amount(0.0, "bar"), Amount(10.0, "bar")),
    "level": (Amount(0.0, "%"), Amount(100.0, "%")),
}
"""Range that a new plan begins with, to be changed under Duty."""

ASSUMED_SUPPLY = Amount(13.5, "V")
"""Supply of a new plan: a 12 V system with the engine running, to be changed under Wiring."""

_MOST_RECENT = 10

DEMO = "harbour-launch.json"


def new_plan(quantity: QuantityName, renderer: Renderer) -> Plan:
    """Return a plan in which nothing is known but what is read."""
    low, high = _RANGES[quantity]
    gauge = Gauge(
        "new-gauge", renderer.sentence(message("new.gauge")), quantity, UnknownMovement(), low, high
    )
    sender = Sender("new-sender", renderer.sentence(message("new.sender")), quantity, UnknownLaw())
    installation = Installation(Supply(ASSUMED_SUPPLY))
    pairing = Pairing("A", gauge, sender, installation)
    return Plan(renderer.sentence(message("new.plan")), Duty(quantity, low, high), (pairing,))


def demo_plan() -> Plan:
    """Return the finished plan that the first start shows."""
    file = shipped("demo", DEMO)
    return plan_from_text(file.read_text(encoding="utf-8"), file.name)


def start_session(plan: Plan) -> Session:
    """Return a session of a plan that has no file yet, its unsaved work kept in a journal."""
    return Session(plan, journal=Journal.of_new_plan())


def recent_plans() -> tuple[Path, ...]:
    """Return the plans opened last that are still there, newest first."""
    try:
        listed = json.loads(_recent_file().read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return ()
    if not isinstance(listed, list):
        return ()
    named = [entry for entry in listed if isinstance(entry, str)]
    # Unlike Path.is_file, this raises for no name and in no folder.
    return tuple(Path(name) for name in named if os.path.isfile(name))[:_MOST_RECENT]


def remember_plan(path: Path) -> None:
    """Put a plan first among those opened last; a folder that cannot be written is no matter."""
    whole = path.absolute()
    others = [other for other in recent_plans() if other != whole]
    listed = [str(entry) for entry in (whole, *others)][:_MOST_RECENT]
    file = _recent_file()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        # In plain ASCII, for a file's name need be no text that UTF-8 can hold.
        save_text(file, json.dumps(listed, indent=1) + "\n")
    except (OSError, UserError):
        return


def _recent_file() -> Path:
    return data_folder() / "recent.json"
