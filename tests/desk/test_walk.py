"""Random walks through every edit, undo, redo and save agree with a plain list of plans."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from catalog.codec import decode
from catalog.errors import UserError
from catalog.library import load_generic
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from retrofit.desk import edits
from retrofit.desk.edits import Edit
from retrofit.desk.session import open_session
from retrofit.installation import PLACES, Installation, Place, Supply, TrimResistor
from retrofit.plan.document import DutyMark, Plan
from retrofit.plan.file import read_plan, write_plan
from tests.retrofit.plan import plans


@pytest.fixture(autouse=True)
def _nothing_left_behind() -> None:
    """Nothing here knows Qt, so nothing of Qt can be left behind."""


TEXTS = st.sampled_from(["", "a", "ab", "Ω ä"])
LABELS = st.sampled_from("ABC")
OHMS = st.sampled_from([0.0, 22.0, 47.0])  # 0 Ω is refused
GAUGES = load_generic().search("", quantity="temperature", kind="gauge")[:3]
SENDERS = load_generic().search("", kind="sender")[::12]  # some for something else: refused


def start() -> Plan:
    marks = [plans.mark("alarm", "98 °C", "low"), plans.mark("warm", "60 °C", "low")]
    gauge = plans.gauge(plans.TEMPERATURE_291_22, "temperature")
    sender = plans.sender({"40 °C": "450 Ω", "120 °C": "30 Ω"}, "temperature")
    return decode(plans.plan(gauge, sender, marks=marks), Plan, "test")


class Walk(RuleBasedStateMachine):
    """A session and a model: the list of plans that undo and redo go through."""

    @initialize()
    def open(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name).resolve() / "walked.json"
        write_plan(self.path, start())
        self.session = open_session(self.path)
        self.known = [self.session.plan]
        self.at = 0
        self.saved = self.session.plan
        self.typed_in = ""

    def teardown(self) -> None:
        if not hasattr(self, "session"):
            return
        while self.session.redo():
            pass
        assert self.session.plan == self.known[-1]
        steps = 0
        while self.session.undo():
            steps += 1
        assert steps == len(self.known) - 1
        assert self.session.plan == self.known[0]
        self.session.close()
        self.folder.cleanup()

    def edit(self, make: Callable[[Plan], Edit], *, more: bool = True) -> None:
        """Make an edit in the session and in the model."""
        now = self.known[self.at]
        try:
            made = make(now)
            after = made.change(now)
        except UserError:
            with pytest.raises(UserError):
                self.session.do(make(self.session.plan))
            return
        assert self.session.do(made) is (after != now)
        if after != now:
            del self.known[self.at + 1 :]
            if self.typed_in and self.typed_in == made.merge:
                self.known.pop()
            if self.known and self.known[-1] == after:
                self.typed_in = ""
            else:
                self.known.append(after)
                self.typed_in = made.merge
            self.at = len(self.known) - 1
        if not more:
            self.session.end_step()
            self.typed_in = ""

    @rule(text=TEXTS, more=st.booleans())
    def type_name(self, text: str, more: bool) -> None:
        self.edit(lambda _: edits.rename_plan(text), more=more)

    @rule(text=TEXTS)
    def type_notes(self, text: str) -> None:
        self.edit(lambda _: edits.write_notes(text))

    @rule(allowed=st.sampled_from([None, Amount(3.0, "K"), Amount(-1.0, "K")]))
    def set_allowed(self, allowed: Amount | None) -> None:
        self.edit(lambda _: edits.set_duty("allowed", allowed))

    @rule(high=st.sampled_from([30.0, 70.0, 120.0, 130.0]))
    def set_high(self, high: float) -> None:
        self.edit(lambda _: edits.set_duty("high", Amount(high, "°C")))

    @rule(at=st.sampled_from([50.0, 125.0]))
    def add_mark(self, at: float) -> None:
        self.edit(lambda _: edits.add_mark(DutyMark("new", Amount(at, "°C"))))

    @rule(index=st.integers(0, 2))
    def remove_mark(self, index: int) -> None:
        self.edit(lambda _: edits.remove_mark(index))

    @rule(text=TEXTS)
    def rename_first_mark(self, text: str) -> None:
        if self.known[self.at].duty.marks:
            self.edit(lambda _: edits.set_mark(0, "name", text))

    @rule(label=LABELS, gauge=st.sampled_from(GAUGES), revision=st.sampled_from([None, 1]))
    def choose_gauge(self, label: str, gauge: Gauge, revision: int | None) -> None:
        self.edit(lambda _: edits.choose_gauge(label, gauge, revision))

    @rule(label=LABELS, sender=st.sampled_from(SENDERS))
    def choose_sender(self, label: str, sender: Sender) -> None:
        self.edit(lambda _: edits.choose_sender(label, sender, 1))

    @rule(label=LABELS, text=TEXTS)
    def type_in_part(self, label: str, text: str) -> None:
        self.edit(lambda _: edits.set_gauge(label, "notes", text))
        self.edit(lambda _: edits.set_sender(label, "notes", text))

    @rule(label=LABELS, place=st.sampled_from(PLACES[:3]), ohms=OHMS)
    def set_resistor(self, label: str, place: Place, ohms: float) -> None:
        self.edit(lambda _: edits.set_resistor(label, TrimResistor(place, Amount(ohms, "Ω"))))

    @rule(label=LABELS, place=st.sampled_from(PLACES[:3]))
    def remove_resistor(self, label: str, place: Place) -> None:
        self.edit(lambda _: edits.remove_resistor(label, place))

    @rule(label=LABELS, volts=st.sampled_from([0.0, 12.0, 13.5]))
    def set_supply(self, label: str, volts: float) -> None:
        wiring = Installation(Supply(Amount(volts, "V")))
        self.edit(lambda _: edits.set_installation(label, "nominal", wiring))

    @rule(label=LABELS)
    def add_pairing(self, label: str) -> None:
        if len(self.known[self.at].pairings) < 3:
            self.edit(lambda plan: edits.add_pairing(plan, label))

    @rule(label=LABELS)
    def remove_pairing(self, label: str) -> None:
        self.edit(lambda plan: edits.remove_pairing(plan, label))

    @rule(label=LABELS)
    def show_pairing(self, label: str) -> None:
        labels = [pairing.label for pairing in self.known[self.at].pairings]
        if label in labels:
            self.session.show_pairing(label)
        else:
            with pytest.raises(UserError):
                self.session.show_pairing(label)
        self.typed_in = ""

    @rule(times=st.integers(1, 3))
    def undo(self, times: int) -> None:
        for _ in range(times):
            assert self.session.undo() is (self.at > 0)
            self.at = max(self.at - 1, 0)
        self.typed_in = ""

    @rule(times=st.integers(1, 3))
    def redo(self, times: int) -> None:
        for _ in range(times):
            assert self.session.redo() is (self.at < len(self.known) - 1)
            self.at = min(self.at + 1, len(self.known) - 1)
        self.typed_in = ""

    @rule()
    def save(self) -> None:
        self.session.save()
        self.saved = self.known[self.at]
        self.typed_in = ""

    @invariant()
    def session_is_what_the_model_says(self) -> None:
        if not hasattr(self, "session"):
            return
        now = self.known[self.at]
        assert self.session.plan == now
        assert self.session.pairing in now.pairings
        assert self.session.unsaved is (now != self.saved)
        assert (self.session.undo_label is None) is (self.at == 0)
        assert (self.session.redo_label is None) is (self.at == len(self.known) - 1)

    @invariant()
    def files_hold_the_saved_and_the_unsaved_plan(self) -> None:
        if not hasattr(self, "session"):
            return
        assert read_plan(self.path) == self.saved
        kept = [read_plan(path) for path in self.path.parent.glob(".*.unsaved")]
        assert kept == ([self.known[self.at]] if self.known[self.at] != self.saved else [])


Walk.TestCase.settings = settings(
    settings.get_profile("quick"), max_examples=15, stateful_step_count=30
)
test_that_any_walk_can_be_undone_to_its_start_and_redone_to_its_end = Walk.TestCase
