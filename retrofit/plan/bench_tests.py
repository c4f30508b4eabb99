"""The tests at the bench that come before any trim, where an installation reads wrong.

A trim around a fault hides the fault: supply, earth and gauge are tried first.
"""

from dataclasses import dataclass
from datetime import date
from typing import Literal, get_args

from catalog.errors import UserError
from catalog.message import Message, message

TestKind = Literal["supply", "earth", "gauge"]

TEST_KINDS: tuple[TestKind, ...] = get_args(TestKind)


@dataclass(frozen=True)
class BenchTest:
    """One test that was done, or why it was left out.

    Attributes
    ----------
    kind : str
        "supply" (volts at the gauge's supply terminal, engine running), "earth" (ohms or volts
        from the sender's body and the gauge's earth to battery negative) or "gauge" (what the
        needle shows with test resistors in the sender's place).
    done_on : str
        Day on which it was done, as 2031-05-24; empty where it was left out.
    reading : str
        What was read, with its unit, in the user's words.
    overridden : str
        Why it was left out; empty where it was done.
    """

    kind: TestKind
    done_on: str = ""
    reading: str = ""
    overridden: str = ""

    def __post_init__(self) -> None:
        """Raise UserError with all that a test lacks."""
        problems = _problems(self)
        if problems:
            raise UserError(problems)

    @property
    def done(self) -> bool:
        """Whether it was done, with a day and a reading."""
        return not self.overridden.strip()


def _problems(test: BenchTest) -> list[Message]:
    name = message(f"tests.{test.kind}")
    day, reading = test.done_on.strip(), test.reading.strip()
    if test.overridden.strip():
        return [message("tests.both", test=name)] if day or reading else []
    if not day and not reading:
        return [message("tests.neither", test=name)]
    found = []
    if not reading:
        found.append(message("tests.no_reading", test=name))
    try:
        date.fromisoformat(day)
    except ValueError:
        found.append(message("tests.no_day", test=name, text=day or "—"))
    return found
