"""Taking over what came in: every part as decided, in one transaction, or nothing at all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from catalog.codec import Part, content_hash
from catalog.errors import UserError, user_error
from catalog.exchange.choices import Choice
from catalog.exchange.compare import Catalogue, Import, Line
from catalog.message import message
from catalog.quantities.numerals import shown
from catalog.store.records import Change, PartRecord

_LONGEST_KEY = 200


@dataclass(frozen=True)
class Decision:
    """What is to become of the parts that differ.

    Attributes
    ----------
    conflicts : str or None
        For every conflict; None: each needs a choice of its own.
    each : mapping of str to str
        Choice for single parts by key, conflicts and changed ones alike.
    """

    conflicts: Choice | None = None
    each: Mapping[str, Choice] = field(default_factory=dict)

    def of(self, line: Line) -> Choice | None:
        """Return the choice for a part that differs."""
        if line.key in self.each:
            return self.each[line.key]
        return self.conflicts if line.state == "conflict" else "theirs"


def planned(found: Import, decision: Decision, catalogue: Catalogue) -> tuple[Change, ...]:
    """Return what would be saved, in order.

    Parameters
    ----------
    found : Import
        What came in, compared.
    decision : Decision
        What is to become of the parts that differ.
    catalogue : Catalogue
        The store; it is only read.

    Raises
    ------
    UserError
        With the problems of the files, with ``exchange.undecided`` for conflicts without a
        choice, or ``exchange.other_kind`` where a sender would have to become a gauge.
    """
    if found.problems:
        raise UserError(found.problems)
    undecided = [line.key for line in found.lines if _differs(line) and not decision.of(line)]
    if undecided:
        raise user_error(
            "exchange.undecided", count=len(undecided), parts=", ".join(map(shown, undecided[:5]))
        )
    taken = {*found.keys, *(line.key for line in found.lines)}
    changes: list[Change] = []
    wrong = []
    for line in found.lines:
        choice = decision.of(line) if _differs(line) else None
        if line.state == "new":
            changes.append(Change(line.theirs))
        elif choice == "theirs-as-new":
            changes += _beside(line.theirs, "theirs", taken, catalogue, found.keys)
        elif choice in ("theirs", "mine-as-new"):
            if type(line.mine) is not type(line.theirs):
                wrong.append(
                    line.place.problem(message("exchange.other_kind", part=shown(line.key)))
                )
            if choice == "mine-as-new" and line.mine is not None:
                changes += _beside(line.mine, "mine", taken, catalogue, found.keys)
            changes.append(Change(line.theirs, line.revision))
    if wrong:
        raise UserError(wrong)
    return tuple(changes)


def take(
    found: Import, decision: Decision, catalogue: Catalogue, label: str
) -> tuple[PartRecord, ...]:
    """Take over what came in, in one transaction.

    Parameters
    ----------
    found : Import
        What came in, compared.
    decision : Decision
        What is to become of the parts that differ.
    catalogue : Catalogue
        The store.
    label : str
        Where it came from, for the history of each part.

    Returns
    -------
    tuple of PartRecord
        What was saved; empty where nothing had to be.

    Raises
    ------
    UserError
        As `planned`; ``store.stale`` or ``store.taken`` for parts that were saved meanwhile, or
        what the database refused. Nothing is taken over then.
    """
    changes = planned(found, decision, catalogue)
    return catalogue.save_all(changes, label) if changes else ()


def _differs(line: Line) -> bool:
    return line.state in ("changed", "conflict")


def _beside(
    part: Part, word: str, taken: set[str], catalogue: Catalogue, known: frozenset[str]
) -> list[Change]:
    """Return the change that adds a part under a free key; none where it was added before."""
    number = 1
    while True:
        end = f"-{word}" if number == 1 else f"-{word}-{number}"
        copy = replace(part, key=part.key[: _LONGEST_KEY - len(end)] + end)
        if copy.key not in taken:
            taken.add(copy.key)
            return [Change(copy)]
        if copy.key in known and content_hash(catalogue.part(copy.key)) == content_hash(copy):
            return []
        number += 1
