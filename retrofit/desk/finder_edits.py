"""What a row of the finder does to the plan: put in, or put beside as another pairing. No Qt."""

from __future__ import annotations

from dataclasses import replace

from catalog.message import message
from retrofit.desk.edits import Area, Edit, add_pairing
from retrofit.desk.finder_rows import put_words
from retrofit.desk.finder_run import Asked, Basket
from retrofit.desk.session import Change
from retrofit.finder.judged import put_in
from retrofit.finder.rows import Row
from retrofit.plan.document import Plan

LOOKED_FOR = {
    "senders": frozenset({Area.SENDER}),
    "gauges": frozenset({Area.GAUGE}),
    "pairs": frozenset({Area.SENDER, Area.GAUGE}),
}
"""What each way changes besides the trim."""


def put(plan: Plan, label: str, row: Row, asked: Asked, basket: Basket) -> Plan:
    """Return a plan with parts and trim of a row in one pairing."""
    return put_in(plan, label, row, row.lead, asked.wishes.trim, basket.origins(row))


def use(label: str, row: Row, asked: Asked, basket: Basket) -> Edit:
    """Put parts and trim of a row in, one step of undo."""
    return Edit(
        put_words(row, asked.way),
        lambda plan: put(plan, label, row, asked, basket),
        LOOKED_FOR[asked.way] | {Area.TRIM},
        show=label,
    )


def use_beside(plan: Plan, label: str, row: Row, asked: Asked, basket: Basket) -> Edit:
    """Put a row in as another pairing beside the others, and show that one.

    Raises
    ------
    UserError
        When all letters are taken.
    """
    added = add_pairing(plan, label)
    free = added.show or label
    part = row.candidate.gauge if asked.way == "gauges" else row.candidate.sender
    return replace(
        added,
        label=message("edit.find_beside", name=part.name),
        change=lambda plan: put(added.change(plan), free, row, asked, basket),
    )


def only_put_in(change: Change, asked: Asked, basket: Basket) -> bool:
    """Return whether a change leaves what was found as it is.

    So it does where only the trim, or only what is looked for was changed, into a part that was
    tried as it is.
    """
    looked_for = LOOKED_FOR[asked.way]
    if not change.touches <= looked_for | {Area.NAME, Area.TRIM}:
        return False
    changed, now = change.touches & looked_for, change.after.pairing
    parts = [now.sender] * (Area.SENDER in changed) + [now.gauge] * (Area.GAUGE in changed)
    tried = [basket.stocked.get(part.key) for part in parts]
    return all(one is not None and one.part is part for one, part in zip(tried, parts, strict=True))
