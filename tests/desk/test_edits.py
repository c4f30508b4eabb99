"""Edits as pure functions from plan to plan: their words, what they keep, what they refuse."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace

import pytest

from catalog.codec import content_hash
from catalog.errors import UserError
from catalog.library import load_generic
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from retrofit.desk import edits
from retrofit.desk.edits import Edit
from retrofit.installation import PLACES, Installation, Place, Supply, TrimResistor
from retrofit.plan.document import Duty, DutyMark, Plan
from tests.desk.hostile_places import RENDERER, sentence

MARK = DutyMark("boiling", Amount(108.0, "°C"))


@pytest.fixture(autouse=True)
def _nothing_left_behind() -> None:
    """Nothing here knows Qt, so nothing of Qt can be left behind."""


def ohms(place: Place, value: float) -> TrimResistor:
    return TrimResistor(place, Amount(value, "Ω"))


def words(edit: Edit) -> str:
    return RENDERER.sentence(edit.label)


# --- words --------------------------------------------------------------------------------------


def test_that_every_field_that_can_be_changed_has_words_for_undo() -> None:
    made = [edits.set_duty(f.name, None) for f in fields(Duty) if f.name != "quantity"]
    made += [edits.set_mark(0, f.name, None) for f in fields(DutyMark)]
    fixed = {"key", "quantity"}  # of which part and for what: another part is chosen instead
    made += [edits.set_gauge("A", f.name, None) for f in fields(Gauge) if f.name not in fixed]
    made += [edits.set_sender("A", f.name, None) for f in fields(Sender) if f.name not in fixed]
    made += [edits.remove_resistor("A", place) for place in PLACES]
    installation = Installation(Supply(Amount(12.0, "V")))
    wiring = [f.name for f in (*fields(Supply), *fields(Installation)) if f.name != "supply"]
    made += [edits.set_installation("A", name, installation) for name in wiring]
    said = [words(edit) for edit in made]
    assert all(said)
    assert len(set(said)) == len(said)


def test_that_the_words_name_what_was_chosen(plan: Plan) -> None:
    gauge, sender = plan.pairings[0].gauge, plan.pairings[0].sender
    assert words(edits.choose_gauge("A", gauge)) == f"choose the gauge {gauge.name}"
    assert words(edits.choose_sender("A", sender)) == f"choose the sender {sender.name}"
    assert words(edits.add_mark(MARK)) == "add the mark boiling"
    assert words(edits.set_resistor("A", ohms("pull-up", 47.0))) == (
        "set the resistor from signal to the gauge supply"
    )
    assert words(edits.add_pairing(plan, "A")) == "add pairing B"


# --- parts --------------------------------------------------------------------------------------


def test_that_a_part_from_the_catalogue_remembers_where_it_came_from(plan: Plan) -> None:
    sender = load_generic().search("", quantity="temperature", kind="sender")[0]
    assert isinstance(sender, Sender)
    pairing = edits.choose_sender("A", sender, 3).change(plan).pairing("A")
    assert pairing.sender == sender
    assert pairing.sender_origin is not None
    origin = pairing.sender_origin
    assert (origin.key, origin.revision, origin.content) == (sender.key, 3, content_hash(sender))
    assert pairing.gauge is plan.pairings[0].gauge


def test_that_a_changed_catalogue_part_is_the_users_own(plan: Plan) -> None:
    pairing = plan.pairings[0]
    taken = edits.choose_gauge("A", pairing.gauge, 1).change(plan)
    taken = edits.choose_sender("A", pairing.sender, 1).change(taken)
    changed = edits.set_gauge("A", "notes", "mine").change(taken)
    changed = edits.set_sender("A", "notes", "mine too").change(changed)
    assert changed.pairing("A").gauge_origin is None
    assert changed.pairing("A").sender_origin is None


def test_that_an_edit_of_one_pairing_leaves_the_others_and_the_parts_it_does_not_name(
    plan: Plan,
) -> None:
    two = edits.add_pairing(plan, "A").change(plan)
    changed = edits.set_gauge("B", "notes", "only here").change(two)
    assert changed.pairing("A") is two.pairing("A")
    assert changed.duty is two.duty
    assert changed.pairing("B").sender is two.pairing("B").sender
    assert changed.pairing("B").gauge.notes == "only here"


# --- marks and trim -----------------------------------------------------------------------------


def test_that_marks_are_added_at_the_end_changed_in_place_and_taken_away(plan: Plan) -> None:
    three = edits.add_mark(MARK).change(plan)
    assert [mark.name for mark in three.duty.marks] == ["alarm", "warm", "boiling"]
    renamed = edits.set_mark(1, "name", "tepid").change(three)
    assert [mark.name for mark in renamed.duty.marks] == ["alarm", "tepid", "boiling"]
    fewer = edits.remove_mark(0).change(renamed)
    assert [mark.name for mark in fewer.duty.marks] == ["tepid", "boiling"]


def test_that_a_resistor_takes_the_place_of_the_one_that_was_there(plan: Plan) -> None:
    for place in PLACES[:3]:
        plan = edits.set_resistor("A", ohms(place, 10.0)).change(plan)
    before = plan.pairing("A").trim
    assert [r.place for r in before] == list(PLACES[:3])
    changed = edits.set_resistor("A", ohms(PLACES[0], 22.0)).change(plan).pairing("A").trim
    assert changed == (ohms(PLACES[0], 22.0), *before[1:])
    assert edits.set_resistor("A", before[0]).change(plan) == plan
    without = edits.remove_resistor("A", PLACES[1]).change(plan).pairing("A").trim
    assert without == (before[0], before[2])
    assert edits.remove_resistor("A", "pull-up").change(plan) == plan


# --- pairings -----------------------------------------------------------------------------------


def test_that_a_new_pairing_is_a_copy_with_the_first_free_letter_and_is_shown(plan: Plan) -> None:
    edit = edits.add_pairing(plan, "A")
    two = edit.change(plan)
    assert edit.show == "B"
    assert replace(two.pairing("B"), label="A") == plan.pairing("A")
    three = edits.add_pairing(two, "B").change(two)
    gap = edits.remove_pairing(three, "B").change(three)
    assert edits.add_pairing(gap, "C").show == "B"


def test_that_a_pairing_taken_away_gives_way_to_the_one_at_its_left(plan: Plan) -> None:
    three = edits.add_pairing(plan, "A").change(plan)
    three = edits.add_pairing(three, "A").change(three)
    assert edits.remove_pairing(three, "C").show == "B"
    assert edits.remove_pairing(three, "B").show == "A"
    assert edits.remove_pairing(three, "A").show == "B"
    assert [p.label for p in edits.remove_pairing(three, "B").change(three).pairings] == ["A", "C"]


def test_that_a_plan_keeps_one_pairing_and_takes_no_more_than_there_are_letters(
    plan: Plan,
) -> None:
    with pytest.raises(UserError, match=r"plan\.last_pairing") as last:
        edits.remove_pairing(plan, "A")
    assert "the only pairing" in sentence(last.value)
    for _ in edits.LETTERS[1:]:
        plan = edits.add_pairing(plan, "A").change(plan)
    assert [p.label for p in plan.pairings] == list(edits.LETTERS)
    with pytest.raises(UserError) as full:
        edits.add_pairing(plan, "A")
    assert "26 pairings at most" in sentence(full.value)


# --- bad input ----------------------------------------------------------------------------------

SWITCH_SENDER = Sender("tank", "A tank sender", "level", load_generic().senders[0].law)


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (lambda _: edits.add_mark(DutyMark("hot", Amount(130.0, "°C"))), "outside the range"),
        (lambda _: edits.set_mark(0, "at", Amount(2.0, "bar")), "2 bar is no temperature"),
        (lambda _: edits.set_duty("low", Amount(120.0, "°C")), "low end has to lie below"),
        (lambda _: edits.set_duty("high", Amount(90.0, "°C")), "mark alarm at 98"),
        (lambda _: edits.set_duty("allowed", Amount(0.0, "K")), "would allow nothing"),
        (lambda _: edits.set_duty("quantity", "level"), "is no level"),
        (lambda _: edits.set_resistor("A", ohms("pull-up", 0.0)), "0 Ω"),
        (lambda _: edits.choose_sender("A", SWITCH_SENDER), "A tank sender is for level"),
        (lambda _: edits.set_gauge("Q", "notes", ""), "no pairing Q"),
        (lambda p: edits.add_pairing(p, "Q"), "no pairing Q"),
        (lambda p: edits.remove_pairing(p, "Q"), "no pairing Q"),
        (
            lambda _: edits.set_installation("A", "nominal", Installation(Supply(Amount(0, "V")))),
            "0 V",
        ),
    ],
)
def test_that_bad_input_is_a_sentence(plan: Plan, edit: Callable[[Plan], Edit], said: str) -> None:
    with pytest.raises(UserError) as refused:
        edit(plan).change(plan)
    assert said in sentence(refused.value)
