"""The open plan: undo and redo of everything, what is saved, and who hears of a change."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from catalog.errors import UserError
from catalog.quantities.amounts import Amount
from retrofit.desk import edits
from retrofit.desk.edits import Area, Edit
from retrofit.desk.session import Change, Session, open_session
from retrofit.installation import TrimResistor
from retrofit.plan.assess import assess
from retrofit.plan.document import Plan
from retrofit.plan.file import read_plan, write_plan
from retrofit.plan.stages import needle_of
from tests.desk.hostile_places import RENDERER, sentence


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
