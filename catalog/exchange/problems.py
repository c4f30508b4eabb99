"""Where something stands in the files that come in, and the problems found there, bounded."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from catalog.errors import UserError
from catalog.message import Message, message

MOST_PROBLEMS = 50
"""Problems that are told one by one; who has more mends the cause, not each."""


@dataclass(frozen=True)
class Place:
    """Where a part, a row or a cell stands.

    Attributes
    ----------
    file : str
        Path of the file.
    row : int
        Row as a spreadsheet counts, the heading being 1; 0 in a file without rows.
    column : str
        Column; empty for the whole row.
    item : str
        Which part of a JSON file, such as ``"parts[3]"``; empty in a CSV file.
    """

    file: str
    row: int = 0
    column: str = ""
    item: str = ""

    def problem(self, problem: Message) -> Message:
        """Return a problem with its place in front."""
        if self.item:
            return message("file.at", path=f"{self.file}: {self.item}", problem=problem)
        if not self.row:
            return message("file.at", path=self.file, problem=problem)
        if not self.column:
            return message("exchange.in_row", path=self.file, row=self.row, problem=problem)
        return message(
            "exchange.in_cell",
            path=self.file,
            row=self.row,
            column=self.column,
            problem=problem,
        )


@dataclass
class Problems:
    """What was found wrong so far.

    Attributes
    ----------
    told : list of Message
        At most `MOST_PROBLEMS`.
    count : int
        How many there were.
    """

    told: list[Message] = field(default_factory=list)
    count: int = 0

    def add(self, problem: Message, place: Place | None = None) -> None:
        """Note a problem, with its place."""
        self.count += 1
        if len(self.told) < MOST_PROBLEMS:
            self.told.append(problem if place is None else place.problem(problem))

    def add_all(self, problems: Iterable[Message], place: Place | None = None) -> None:
        """Note several problems of one place."""
        for problem in problems:
            self.add(problem, place)

    def messages(self) -> tuple[Message, ...]:
        """Return the problems, and how many more there are."""
        more = self.count - len(self.told)
        return (*self.told, message("exchange.more", count=more)) if more else tuple(self.told)

    def stop(self) -> None:
        """Raise UserError with all of them, where there are any."""
        if self.count:
            raise UserError(self.messages())
