"""Edits of a plan: each a pure function from plan to plan, with its words and what it touches.

An edit validates by making the new plan: bad input raises UserError before anything is pushed,
so undo and redo cannot fail.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from typing import Any

from catalog.codec import content_hash
from catalog.errors import user_error
from catalog.message import Message, message
from catalog.parts.fitting import SenderFitting
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from retrofit.installation import Installation, Place, TrimResistor, YesNo
from retrofit.plan.bench_tests import TEST_KINDS, BenchTest, TestKind
from retrofit.plan.document import DutyMark, Origin, Pairing, Plan
from retrofit.plan.fit_document import Fit
from retrofit.plan.trim_words import ohms_by_place, trim_words


class Area(Enum):
    """What an edit touches, so that only what shows it reads again."""

    DOCUMENT = "document"
    NAME = "name"
    DUTY = "duty"
    GAUGE = "gauge"
    SENDER = "sender"
    TRIM = "trim"
    TESTS = "tests"
    INSTALLATION = "installation"
    FIT = "fit"
    PAIRINGS = "pairings"


@dataclass(frozen=True)
class Edit:
    """One change of the plan, not yet made.

    Attributes
    ----------
    label : Message
        What it does, for Undo and Redo.
    change : callable
        From the plan before to the plan after; raises UserError for bad input.
    touches : frozenset of Area
        What it touches.
    merge : str
        Edits with the same non-empty text, one after another, are one step of undo: typing or
        dragging in one field.
    show : str or None
        Label of the pairing to show afterwards; None keeps the present one.
    """

    label: Message
    change: Callable[[Plan], Plan]
    touches: frozenset[Area]
    merge: str = ""
    show: str | None = None


def rename_plan(name: str) -> Edit:
    """Give the plan another name."""
    return Edit(
        message("edit.rename_plan"),
        lambda plan: replace(plan, name=name),
        frozenset({Area.NAME}),
        merge="plan name",
    )


def write_notes(notes: str) -> Edit:
    """Write the plan's notes."""
    return Edit(
        message("edit.notes"),
        lambda plan: replace(plan, notes=notes),
        frozenset({Area.NAME}),
        merge="plan notes",
    )


def set_duty(field: str, value: Any) -> Edit:
    """Set one field of the duty; `field` is its name in ``Duty``."""
    return Edit(
        message("edit.duty", field=message(f"duty.field.{field}")),
        lambda plan: replace(plan, duty=replace(plan.duty, **{field: value})),
        frozenset({Area.DUTY}),
        merge=f"duty {field}",
    )


def add_mark(mark: DutyMark) -> Edit:
    """Add a mark that matters."""
    return _marks(message("edit.add_mark", mark=mark.name), lambda marks: (*marks, mark))


def remove_mark(index: int) -> Edit:
    """Take the mark at `index` away."""
    return _marks(message("edit.remove_mark"), lambda marks: (*marks[:index], *marks[index + 1 :]))


def set_mark(index: int, field: str, value: Any) -> Edit:
    """Set one field of the mark at `index`; `field` is its name in ``DutyMark``."""

    def change(marks: tuple[DutyMark, ...]) -> tuple[DutyMark, ...]:
        changed = replace(marks[index], **{field: value})
        return (*marks[:index], changed, *marks[index + 1 :])

    label = message("edit.mark", field=message(f"mark.field.{field}"))
    return _marks(label, change, merge=f"mark {index} {field}")


def _marks(
    label: Message,
    change: Callable[[tuple[DutyMark, ...]], tuple[DutyMark, ...]],
    merge: str = "",
) -> Edit:
    return Edit(
        label,
        lambda plan: replace(plan, duty=replace(plan.duty, marks=change(plan.duty.marks))),
        frozenset({Area.DUTY}),
        merge,
    )


def edit_pairing(
    pairing: str,
    label: Message,
    change: Callable[[Pairing], Pairing],
    area: Area,
    merge: str = "",
) -> Edit:
    """Change the pairing labelled `pairing`."""

    def whole(plan: Plan) -> Plan:
        plan.pairing(pairing)
        changed = tuple(change(p) if p.label == pairing else p for p in plan.pairings)
        return replace(plan, pairings=changed)

    merged = f"{pairing} {merge}" if merge else ""
    return Edit(label, whole, frozenset({area}), merged, show=pairing)


def _regauged(pairing: Pairing, gauge: Gauge) -> Pairing:
    """Return a pairing with another gauge; a second one that is like the first stays like it."""
    second, installation = pairing.installation.second, pairing.installation
    if second is not None and second.gauge == pairing.gauge:
        installation = replace(installation, second=replace(second, gauge=gauge))
    return replace(pairing, gauge=gauge, installation=installation)


def choose_gauge(pairing: str, gauge: Gauge, revision: int | None = None) -> Edit:
    """Put another gauge in a pairing; `revision` where it comes from a catalogue."""
    origin = None if revision is None else Origin(gauge.key, revision, content_hash(gauge))
    return edit_pairing(
        pairing,
        message("edit.gauge", name=gauge.name),
        lambda p: replace(_regauged(p, gauge), gauge_origin=origin),
        Area.GAUGE,
    )


def choose_sender(pairing: str, sender: Sender, revision: int | None = None) -> Edit:
    """Put another sender in a pairing; `revision` where it comes from a catalogue."""
    origin = None if revision is None else Origin(sender.key, revision, content_hash(sender))
    return edit_pairing(
        pairing,
        message("edit.sender", name=sender.name),
        lambda p: replace(p, sender=sender, sender_origin=origin),
        Area.SENDER,
    )


def set_gauge(pairing: str, field: str, value: Any) -> Edit:
    """Set one field of a pairing's gauge; what was a catalogue part becomes the user's own."""
    return edit_pairing(
        pairing,
        message("edit.gauge_field", field=message(f"gauge.field.{field}")),
        lambda p: replace(_regauged(p, replace(p.gauge, **{field: value})), gauge_origin=None),
        Area.GAUGE,
        merge=f"gauge {field}",
    )


def set_sender(pairing: str, field: str, value: Any) -> Edit:
    """Set one field of a pairing's sender; what was a catalogue part becomes the user's own."""
    return edit_pairing(
        pairing,
        message("edit.sender_field", field=message(f"sender.field.{field}")),
        lambda p: replace(p, sender=replace(p.sender, **{field: value}), sender_origin=None),
        Area.SENDER,
        merge=f"sender {field}",
    )


def set_resistor(pairing: str, resistor: TrimResistor) -> Edit:
    """Put a trim resistor in its place, instead of one that was there."""

    def change(p: Pairing) -> Pairing:
        if all(r.place != resistor.place for r in p.trim):
            return replace(p, trim=(*p.trim, resistor))
        trim = tuple(resistor if r.place == resistor.place else r for r in p.trim)
        return replace(p, trim=trim)

    label = message("edit.resistor", place=message(f"place.{resistor.place}"))
    return edit_pairing(pairing, label, change, Area.TRIM, merge=f"trim {resistor.place}")


def remove_resistor(pairing: str, place: Place) -> Edit:
    """Take the trim resistor at `place` out."""
    return edit_pairing(
        pairing,
        message("edit.no_resistor", place=message(f"place.{place}")),
        lambda p: replace(p, trim=tuple(r for r in p.trim if r.place != place)),
        Area.TRIM,
        merge=f"trim {place}",
    )


def set_trim(pairing: str, trim: tuple[TrimResistor, ...]) -> Edit:
    """Put a whole trim in place of the one that is there."""
    return edit_pairing(
        pairing,
        message("edit.trim", trim=trim_words(ohms_by_place(trim))),
        lambda p: replace(p, trim=trim),
        Area.TRIM,
    )


def set_mends(word: YesNo) -> Edit:
    """Say whether the plan mends an installation that reads wrong."""
    return Edit(
        message("edit.mends"),
        lambda plan: replace(plan, mends=word),
        frozenset({Area.TESTS}),
    )


def set_test(kind: TestKind, test: BenchTest | None) -> Edit:
    """Keep what a test before a trim gave, or why it was left out; None takes it away."""

    def change(plan: Plan) -> Plan:
        kept = {one.kind: one for one in plan.tests if one.kind != kind}
        if test is not None:
            kept[kind] = test
        return replace(plan, tests=tuple(kept[one] for one in TEST_KINDS if one in kept))

    label = message("edit.test", test=message(f"tests.{kind}"))
    return Edit(label, change, frozenset({Area.TESTS}), merge=f"test {kind}")


def set_installation(pairing: str, field: str, installation: Installation) -> Edit:
    """Put a changed installation in a pairing; `field` names what changed, for its words."""
    return edit_pairing(
        pairing,
        message("edit.installation", field=message(f"installation.field.{field}")),
        lambda p: replace(p, installation=installation),
        Area.INSTALLATION,
        merge=f"installation {field}",
    )


def set_fit(pairing: str, field: str, change: Callable[[Fit], Fit]) -> Edit:
    """Change how a pairing's sender is mounted; `field` names what changed, for its words."""

    def whole(p: Pairing) -> Pairing:
        fit = change(p.fit or Fit())
        return replace(p, fit=None if fit == Fit() else fit)

    label = message("edit.fit", field=message(f"step.fit.{field}"))
    return edit_pairing(pairing, label, whole, Area.FIT, merge=f"fit {field}")


def set_fitting(pairing: str, field: str, change: Callable[[SenderFitting], SenderFitting]) -> Edit:
    """Change what a pairing's sender needs to go in; it stays the catalogue's class that it is."""

    def whole(p: Pairing) -> Pairing:
        fitting = change(p.sender.fitting or SenderFitting())
        kept = None if fitting == SenderFitting() else fitting
        return replace(p, sender=replace(p.sender, fitting=kept))

    label = message("edit.fit", field=message(f"step.fit.{field}"))
    return edit_pairing(pairing, label, whole, Area.SENDER, merge=f"fitting {field}")


LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def add_pairing(plan: Plan, copied: str) -> Edit:
    """Add a pairing beside the others, a copy of the one labelled `copied`, and show it.

    Raises
    ------
    UserError
        When all letters are taken.
    """
    taken = {pairing.label for pairing in plan.pairings}
    free = next((letter for letter in LETTERS if letter not in taken), None)
    if free is None:
        raise user_error("plan.full", most=len(LETTERS))
    return Edit(
        message("edit.add_pairing", label=free),
        lambda plan: replace(
            plan, pairings=(*plan.pairings, replace(plan.pairing(copied), label=free))
        ),
        frozenset({Area.PAIRINGS}),
        show=free,
    )


def remove_pairing(plan: Plan, label: str) -> Edit:
    """Take a pairing away and show a neighbour.

    Raises
    ------
    UserError
        When there is none of that label, or it is the only one.
    """
    plan.pairing(label)
    labels = [pairing.label for pairing in plan.pairings]
    if len(labels) == 1:
        raise user_error("plan.last_pairing", label=label)
    place = labels.index(label)
    return Edit(
        message("edit.remove_pairing", label=label),
        lambda plan: replace(plan, pairings=tuple(p for p in plan.pairings if p.label != label)),
        frozenset({Area.PAIRINGS}),
        show=labels[place - 1] if place else labels[1],
    )
