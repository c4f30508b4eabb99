"""The open plan: undo and redo of everything, what is saved, and who hears of a change."""

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
from retrofit.desk.edits import Area, Edit
from retrofit.desk.session import Change, Session, open_session
from retrofit.installation import PLACES, Installation, Place, Supply, TrimResistor
from retrofit.plan.assess import assess
from retrofit.plan.document import DutyMark, Plan
from retrofit.plan.file import read_plan, write_plan
from retrofit.plan.stages import needle_of
from tests.desk.hostile_places import RENDERER, sentence
from tests.retrofit.plan import plans


@pytest.fixture(autouse=True)
def _nothing_left_behind() -> None:
    """Nothing here knows Qt, so nothing of Qt can be left behind."""


@pytest.fixture
def session(plan: Plan) -> Session:
    return Session(plan)


def name(text: str) -> Edit:
    return edits.rename_plan(text)


def notes(text: str) -> Edit:
    return edits.write_notes(text)


def undone(session: Session) -> list[str]:
    """Undo everything; return the words of what was taken back."""
    said = []
    while session.undo_label is not None:
        said.append(RENDERER.sentence(session.undo_label))
        assert session.undo()
    assert not session.undo()
    return said


def redone(session: Session) -> list[str]:
    """Redo everything; return the words of what was done again."""
    said = []
    while session.redo_label is not None:
        said.append(RENDERER.sentence(session.redo_label))
        assert session.redo()
    assert not session.redo()
    return said


# --- undo and redo ------------------------------------------------------------------------------


def test_that_undo_and_redo_say_in_words_what_they_do(session: Session) -> None:
    first = session.plan
    session.do(name("Tug"))
    session.do(edits.remove_mark(0))
    session.do(edits.add_pairing(session.plan, "A"))
    last = session.plan
    assert redone(session) == []
    assert undone(session) == ["add pairing B", "remove a mark", "rename the plan"]
    assert session.plan == first
    assert redone(session) == ["rename the plan", "remove a mark", "add pairing B"]
    assert session.plan == last


def test_that_typing_in_one_field_is_one_step(session: Session) -> None:
    first = session.plan
    for text in ("T", "Tu", "Tug"):
        assert session.do(name(text))
    assert (session.plan.name, len(undone(session))) == ("Tug", 1)
    assert session.plan == first
    session.redo()
    assert session.plan.name == "Tug"


@pytest.mark.parametrize(
    "between",
    [
        lambda s: s.end_step(),
        lambda s: s.do(notes("in between")),
        lambda s: s.show_pairing("A"),
        lambda s: (s.do(notes("x")), s.undo()),
    ],
    ids=["the field was left", "another field", "another look", "an undo"],
)
def test_that_what_comes_between_ends_a_step(
    session: Session, between: Callable[[Session], object]
) -> None:
    session.do(name("T"))
    between(session)
    session.do(name("Tu"))
    session.undo()
    assert session.plan.name == "T"


def test_that_one_kind_of_field_in_two_pairings_is_two_steps(session: Session) -> None:
    session.do(edits.add_pairing(session.plan, "A"))
    session.do(edits.set_gauge("A", "notes", "a"))
    session.do(edits.set_gauge("B", "notes", "b"))
    assert len(undone(session)) == 3


def test_that_typing_there_and_back_again_leaves_no_step(session: Session) -> None:
    session.do(notes("kept"))
    session.end_step()
    first = session.plan
    for text in ("k", "", "kept"):
        session.do(notes(text))
    assert session.plan == first
    session.do(notes("kept, and more"))  # a step of its own, not one with the first
    session.undo()
    assert session.plan == first
    session.undo()
    assert session.plan.notes == ""


def test_that_an_edit_that_changes_nothing_is_no_step_and_shows_nothing_else(
    session: Session,
) -> None:
    session.do(edits.add_pairing(session.plan, "A"))
    heard: list[Change] = []
    session.listen(heard.append)
    assert not session.do(name(session.plan.name))
    assert not session.do(edits.set_gauge("A", "notes", session.plan.pairing("A").gauge.notes))
    assert not session.do(edits.remove_resistor("A", "pull-up"))
    assert (session.view.label, heard) == ("B", [])
    assert len(undone(session)) == 1


def test_that_a_refused_edit_changes_nothing_not_even_what_can_be_done_again(
    session: Session,
) -> None:
    session.do(name("Tug"))
    session.undo()
    before = session.view
    with pytest.raises(UserError):
        session.do(edits.set_mark(0, "at", Amount(500.0, "°C")))
    assert session.view is before
    assert session.undo_label is None
    assert session.redo()
    assert session.plan.name == "Tug"


def test_that_a_new_edit_forgets_what_was_taken_back(session: Session) -> None:
    session.do(name("Tug"))
    session.do(notes("n"))
    session.undo()
    session.do(notes("other"))
    assert session.redo_label is None
    assert not session.redo()
    assert (session.plan.name, session.plan.notes) == ("Tug", "other")


def test_that_undo_goes_to_the_pairing_it_changes(session: Session) -> None:
    session.do(edits.add_pairing(session.plan, "A"))
    session.do(edits.set_sender("B", "notes", "b"))
    session.show_pairing("A")
    session.undo()
    assert session.view.label == "B"
    session.undo()
    assert session.view.label == "A"
    assert [p.label for p in session.plan.pairings] == ["A"]
    session.redo()
    assert session.view.label == "B"


# --- who hears of it ----------------------------------------------------------------------------


def test_that_a_change_says_what_it_touches(session: Session) -> None:
    heard: list[Change] = []
    stop = session.listen(heard.append)
    before = session.view
    session.do(name("Tug"))
    session.undo()
    assert [c.touches for c in heard] == [{Area.NAME}, {Area.NAME}]
    assert (heard[0].before, heard[0].after.plan.name) == (before, "Tug")
    assert heard[1].after == before
    stop()
    stop()
    session.redo()
    assert len(heard) == 2


def test_that_whatever_shows_another_pairing_touches_all_that_is_shown_of_it(
    session: Session,
) -> None:
    shown = {Area.GAUGE, Area.SENDER, Area.TRIM, Area.INSTALLATION}
    heard: list[Change] = []
    session.listen(heard.append)
    session.do(edits.add_pairing(session.plan, "A"))
    session.show_pairing("A")
    session.do(edits.set_gauge("B", "notes", "b"))
    session.show_pairing("A")
    session.show_pairing("A")
    session.undo()
    assert [change.after.label for change in heard] == ["B", "A", "B", "A", "A"]
    shows_other = [change for change in heard if change.before.label != change.after.label]
    assert len(shows_other) == 4
    assert all(shown <= change.touches for change in shows_other)


def test_that_a_pairing_that_is_not_there_cannot_be_shown(session: Session) -> None:
    with pytest.raises(UserError) as refused:
        session.show_pairing("Q")
    assert "no pairing Q" in sentence(refused.value)
    assert session.view.label == "A"


# --- numbers ------------------------------------------------------------------------------------


def test_that_the_numbers_are_those_of_the_shown_pairing(session: Session) -> None:
    session.do(edits.add_pairing(session.plan, "A"))
    session.do(edits.set_resistor("B", TrimResistor("across sender", Amount(150.0, "Ω"))))
    for label in "BAB":
        session.show_pairing(label)
        found, straight = session.assessment(), assess(session.plan, label)
        assert found.pairing.label == label
        assert (found.marks, found.checks) == (straight.marks, straight.checks)
        assert found.reading is straight.reading
    assert assess(session.plan, "A").marks != session.assessment().marks


def test_that_an_edit_works_out_anew_only_what_it_touches(session: Session) -> None:
    first = session.assessment()
    assert session.assessment() is first
    session.do(name("Tug"))
    renamed = session.assessment()
    assert renamed.plan.name == "Tug"
    assert (renamed.reading, renamed.needle) == (first.reading, first.needle)
    assert renamed.reading is first.reading
    session.do(edits.set_duty("medium", "oil"))
    assert session.assessment().needle is first.needle
    session.do(edits.set_resistor("A", TrimResistor("across sender", Amount(150.0, "Ω"))))
    assert session.assessment().needle is not first.needle
    session.undo()
    assert needle_of(session.pairing) is first.needle


# --- saved or not -------------------------------------------------------------------------------


def test_that_undo_back_to_the_saved_plan_is_saved(plan: Plan, tmp_path: Path) -> None:
    path = tmp_path / "a.json"
    write_plan(path, plan)
    session = open_session(path)
    seen = [session.unsaved]
    for act in (
        lambda: session.do(name("Tug")),
        session.undo,
        session.redo,
        session.save,
        session.undo,
        lambda: session.do(name("Tug")),  # the same by another way
    ):
        act()
        seen.append(session.unsaved)
    assert seen == [False, True, False, True, False, True, False]
    assert read_plan(path).name == "Tug"
    session.close()


def test_that_typing_on_after_a_save_can_be_undone_back_to_the_saved_plan(
    plan: Plan, tmp_path: Path
) -> None:
    path = tmp_path / "a.json"
    write_plan(path, plan)
    session = open_session(path)
    session.do(name("T"))
    session.save()
    session.do(name("Tu"))
    session.undo()
    assert (session.plan.name, session.unsaved) == ("T", False)
    session.close()


def test_that_a_plan_without_a_file_is_unsaved_and_says_so(session: Session) -> None:
    assert session.unsaved
    assert session.path is None
    with pytest.raises(UserError) as refused:
        session.save()
    assert "no file yet" in sentence(refused.value)


def test_that_saving_keeps_the_steps_of_undo(plan: Plan, tmp_path: Path) -> None:
    session = Session(plan)
    session.do(name("Tug"))
    session.save_as(tmp_path / "a.json")
    assert (session.path, session.unsaved) == (tmp_path / "a.json", False)
    session.undo()
    assert session.plan == plan
    session.close()


# --- random walks -------------------------------------------------------------------------------

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
