"""Random walks of edits, ways back and retirements agree with a model made of plain lists."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from catalog.errors import UserError
from catalog.parts.sender import Sender
from catalog.store.open import Opening, open_files
from tests.catalog.store.parts_to_store import sender, shipment

KEYS = ("level-a", "level-b", "level-c")
KEY = st.sampled_from(KEYS)
OHMS = st.integers(2, 6)


@dataclass
class Model:
    """A part as the model sees it: each revision's content, the last one current."""

    revisions: list[Sender]
    shipped: Sender | None
    retired: bool = False
    labels: list[str] = field(default_factory=list)


class Walk(RuleBasedStateMachine):
    def __init__(self) -> None:
        super().__init__()
        first = sender("level-a", empty=2)
        self.store = open_files(Opening(shipment(first)))
        self.model = {"level-a": Model([first], first, labels=[""])}
        self.steps = 0

    def teardown(self) -> None:
        self.store.close()

    def label(self) -> str:
        self.steps += 1
        return f"step {self.steps}"

    @rule(key=KEY, ohms=OHMS, stale=st.booleans())
    def save(self, key: str, ohms: int, stale: bool) -> None:
        part, label, known = sender(key, empty=ohms), self.label(), self.model.get(key)
        if known is None:
            self.store.save(part, label)
            self.model[key] = Model([part], None, labels=[label])
        elif known.revisions[-1] == part:
            self.store.save(part, label, revision=1)
        elif stale and len(known.revisions) > 1:
            with pytest.raises(UserError, match=r"store\.stale"):
                self.store.save(part, label, revision=len(known.revisions) - 1)
        else:
            self.store.save(part, label, revision=len(known.revisions))
            known.revisions.append(part)
            known.labels.append(label)

    @rule(key=KEY, back=st.integers(0, 5))
    def revert(self, key: str, back: int) -> None:
        known, label = self.model.get(key), self.label()
        if known is None or back >= len(known.revisions):
            with pytest.raises(UserError, match=r"no_part|no_revision"):
                self.store.revert(key, len(known.revisions) - back if known else 1, label)
            return
        part = known.revisions[-1 - back]
        self.store.revert(key, len(known.revisions) - back, label)
        if part != known.revisions[-1]:
            known.revisions.append(part)
            known.labels.append(label)

    @precondition(lambda self: self.model)
    @rule(data=st.data(), retire=st.booleans())
    def retire(self, data: st.DataObject, retire: bool) -> None:
        key = data.draw(st.sampled_from(sorted(self.model)))
        (self.store.retire if retire else self.store.unretire)(key)
        self.model[key].retired = retire

    @rule(key=KEY, new_key=KEY)
    def duplicate(self, key: str, new_key: str) -> None:
        known, label = self.model.get(key), self.label()
        if known is None or new_key in self.model:
            with pytest.raises(UserError, match=r"no_part|store\.taken"):
                self.store.duplicate(key, new_key, label)
            return
        self.store.duplicate(key, new_key, label)
        old = known.revisions[-1]
        copy = Sender(new_key, old.name, old.quantity, old.law)
        self.model[new_key] = Model([copy], None, labels=[label])

    @invariant()
    def agree(self) -> None:
        listed = {record.key: record for record in self.store.search(include_retired=True).records}
        assert set(listed) == set(self.model)
        for key, known in self.model.items():
            record, history = listed[key], self.store.history(key)
            assert self.store.part(key) == known.revisions[-1]
            assert [r.label for r in reversed(history)] == known.labels
            assert [self.store.part(key, r.number) for r in reversed(history)] == known.revisions
            assert [r.number for r in history if r.current] == [len(known.revisions)]
            assert record.retired is known.retired
            assert record.own is (known.revisions[-1] != known.shipped)
            assert record.name == known.revisions[-1].name
        shown = {record.key for record in self.store.search().records}
        assert shown == {key for key, known in self.model.items() if not known.retired}


TestWalk = Walk.TestCase
TestWalk.settings = settings(stateful_step_count=8)
