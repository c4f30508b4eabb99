"""The catalogue page: look through it, compare, add, duplicate, edit, retire and go back."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from catalog.library import load_generic
from catalog.parts.gauge import Gauge, RatioMovement
from catalog.parts.laws import PlatinumLaw, TableLaw, UnknownLaw
from catalog.parts.sender import Sender
from catalog.provenance import Basis, BasisKind, Tolerance
from catalog.quantities.amounts import Amount
from catalog.shelf import Kept
from catalog.store.open import open_store
from retrofit.desk.models.part_list_model import PartRole
from retrofit.desk.steps.catalogue import COMPARE, HISTORY, PARTS, CataloguePage
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.dial_mark_rows import SENDER
from retrofit.desk.window import Window
from retrofit.settings import Settings
from tests.desk.seeing import plain
from tests.desk.whole_window import type_into

Key, Left = Qt.Key, Qt.MouseButton.LeftButton
Mode = QAbstractItemModelTester.FailureReportingMode
LIBRARY = load_generic()


def press(qtbot: QtBot, button: QPushButton) -> None:
    assert button.isEnabled(), button.text()
    qtbot.mouseClick(button, Left)


def choose(qtbot: QtBot, choice: Choice, word: str) -> None:
    """Choose by the keys, as from an open list."""
    choice.setFocus()
    while choice.word != word:
        before = choice.currentIndex()
        goal = choice.findData(word)
        assert goal >= 0, word
        qtbot.keyClick(choice, Key.Key_Down if goal > before else Key.Key_Up)
        assert choice.currentIndex() != before
    qtbot.keyClick(choice, Key.Key_Return)


def look_at(qtbot: QtBot, page: CataloguePage, key: str) -> None:
    """Find a part by its key and click its row."""
    type_into(qtbot, page.parts.words, key)
    row = page.parts.list.model.row_of(key)
    assert row >= 0, key
    view = page.parts.list.view
    index = page.parts.list.model.index(row)
    view.scrollTo(index)
    qtbot.mouseClick(view.viewport(), Left, pos=view.visualRect(index).center())
    assert page.parts.key == key


def keys(page: CataloguePage) -> list[str]:
    return [row.key for row in page.parts.list.model.rows]


def now(page: CataloguePage) -> Kept:
    assert page.part is not None
    return page.part


def line(page: CataloguePage, slot: str, editor: str = "value") -> QLineEdit:
    found = page.form.rows[slot].editors[editor]
    assert isinstance(found, QLineEdit)
    return found


def choice(page: CataloguePage, slot: str, editor: str = "value") -> Choice:
    found = page.form.rows[slot].editors[editor]
    assert isinstance(found, Choice)
    return found


def test_that_all_shipped_parts_are_listed_and_that_of_the_plan_is_looked_at(
    desk: Window, page: CataloguePage
) -> None:
    assert len(keys(page)) == len(LIBRARY.senders) + len(LIBRARY.gauges)
    assert page.parts.key == desk.place.view.pairing.sender.key
    assert page.title.text() == desk.place.view.pairing.sender.name
    assert "shipped" in page.status.text()


def test_that_the_model_of_the_list_keeps_qt_s_rules(page: CataloguePage, qtbot: QtBot) -> None:
    tester = QAbstractItemModelTester(page.parts.list.model, Mode.Fatal)
    for words in ("level", "240", "240 33", "", "zeppelin", "dual"):
        type_into(qtbot, page.parts.words, words)
    assert keys(page)
    assert tester.model() is page.parts.list.model


def test_that_ohms_are_found_nearest_first(page: CataloguePage, qtbot: QtBot) -> None:
    type_into(qtbot, page.parts.words, "291 22")
    assert keys(page)[0].startswith("temperature-291-22")
    type_into(qtbot, page.parts.words, "zeppelin")
    assert keys(page) == []
    assert "No part is like that" in page.parts.list.empty.text()


def test_that_filters_narrow_the_list_and_say_how_many_are_in_force(
    page: CataloguePage, qtbot: QtBot
) -> None:
    filters = page.parts.filters
    qtbot.mouseClick(filters.heading, Left)
    assert not filters.at.isEnabled()
    choose(qtbot, filters.choices["quantity"], "level")
    choose(qtbot, filters.choices["direction"], "falling")
    type_into(qtbot, filters.at, "1/2")
    type_into(qtbot, filters.ohms, "103")
    assert keys(page)
    assert "level-240-33-mid-103" in keys(page)
    assert "level-0-190" not in keys(page)
    assert "3" in filters.heading.text()
    press(qtbot, filters.clear)
    assert len(keys(page)) == len(LIBRARY.senders) + len(LIBRARY.gauges)


def test_that_the_order_can_be_chosen(page: CataloguePage, qtbot: QtBot) -> None:
    choose(qtbot, page.parts.sort, "name")
    names = [row.name.casefold() for row in page.parts.list.model.rows]
    assert names == sorted(names)


def test_that_up_to_four_parts_are_compared_with_the_space_bar(
    page: CataloguePage, qtbot: QtBot
) -> None:
    wanted = ("level-240-30", "level-0-190", "level-240-33-mid-103", "level-70-10")
    for key in wanted:
        look_at(qtbot, page, key)
        qtbot.keyClick(page.parts.list.view, Key.Key_Space)
    assert "compared as D" in page.parts.list.model.rows[0].detail
    look_at(qtbot, page, "level-120-16-dual")
    assert not page.parts.compare.isEnabled()
    page.tabs.setCurrentIndex(COMPARE)
    assert list(page.compare.buttons) == list(wanted)
    assert "240 Ω" in plain(page.compare.chart.accessibleDescription())
    press(qtbot, page.compare.buttons["level-0-190"])
    assert page.tabs.tabText(COMPARE) == "Compare (3)"


def test_that_an_edit_is_a_revision_of_its_own_and_marks_the_part_as_the_users(
    page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "level-240-30")
    type_into(qtbot, line(page, "law.tolerance"), "5")
    one = now(page)
    assert isinstance(one.part, Sender)
    assert isinstance(one.part.law, TableLaw)
    assert one.part.law.tolerance == Tolerance(Amount(5.0, "%"))
    assert (one.own, one.revision) == (True, 2)
    assert "yours, revision 2" in page.status.text()
    index = page.parts.list.model.index(page.parts.list.model.row_of("level-240-30"))
    assert index.data(PartRole.OWN)


def test_that_basis_and_source_of_a_table_are_edited_by_keys(
    page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "level-240-30")
    choose(qtbot, choice(page, "law.basis"), "measured")
    type_into(qtbot, line(page, "law.basis", "source"), "bench, winter")
    part = now(page).part
    assert isinstance(part, Sender)
    assert isinstance(part.law, TableLaw)
    assert part.law.basis == Basis(BasisKind.MEASURED, "bench, winter")


def test_that_a_figure_s_tolerance_basis_and_source_are_edited(
    page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "temperature-platinum-100")
    type_into(qtbot, line(page, "law.resistance", "tolerance"), "0.12 ohm")
    choose(qtbot, choice(page, "law.resistance", "basis"), "assumed")
    part = now(page).part
    assert isinstance(part, Sender)
    assert isinstance(part.law, PlatinumLaw)
    assert part.law.resistance.tolerance == Tolerance(Amount(0.12, "Ω"))
    assert part.law.resistance.basis.kind is BasisKind.ASSUMED


def test_that_what_cannot_be_read_is_named_and_saves_nothing(
    page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "temperature-platinum-100")
    type_into(qtbot, line(page, "law.resistance"), "many")
    assert page.form.rows["law.resistance"].fields[0].problem
    assert now(page).revision == 1


def test_that_a_part_that_cannot_be_is_refused_with_its_reason(
    page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "gauge-temperature-291-22-120c-ratio-12v")
    type_into(qtbot, line(page, "high"), "20")
    assert page.form.rows["high"].fields[0].problem
    assert now(page).revision == 1


def test_that_take_back_undoes_the_last_change_and_history_keeps_both(
    page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "level-240-30")
    before = now(page).part
    type_into(qtbot, line(page, "notes"), "dried and cleaned")
    assert now(page).part.notes == "dried and cleaned"
    assert page.parts.take_back.toolTip().startswith("Notes of Level, 240 Ω")
    press(qtbot, page.parts.take_back)
    assert now(page).part == before
    assert not now(page).own
    page.inner.setCurrentIndex(HISTORY)
    assert [row.name for row in page.history.list.model.rows] == [
        "Revision 3, in use", "Revision 2", "Revision 1",
    ]  # fmt: skip


def test_that_history_shows_what_differs_and_leads_back(page: CataloguePage, qtbot: QtBot) -> None:
    look_at(qtbot, page, "level-240-30")
    type_into(qtbot, line(page, "notes"), "first")
    type_into(qtbot, line(page, "notes"), "second")
    page.inner.setCurrentIndex(HISTORY)
    page.history.list.look_at("2")
    assert plain(page.history.says.text()) == "notes: first → second"
    press(qtbot, page.history.back)
    assert now(page).part.notes == "first"
    assert now(page).revision == 4
    assert page.history.list.model.rows[0].name == "Revision 4, in use"


def test_that_a_copy_is_the_users_and_the_original_stays(page: CataloguePage, qtbot: QtBot) -> None:
    look_at(qtbot, page, "level-240-30")
    press(qtbot, page.parts.copy)
    assert page.parts.key == "level-240-30-copy"
    assert now(page).own
    assert page.title.text().startswith("Copy of Level")
    look_at(qtbot, page, "level-240-30")
    assert not now(page).own
    press(qtbot, page.parts.copy)
    assert page.parts.key == "level-240-30-copy-2"


def test_that_a_retired_part_leaves_the_list_and_comes_back(
    page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "level-240-30")
    press(qtbot, page.parts.retire)
    assert "level-240-30" not in keys(page)
    page.show_part("level-240-30")
    assert "retired" in page.status.text()
    press(qtbot, page.parts.retire)
    page.parts.filters.reset()
    assert "level-240-30" in keys(page)


def test_that_a_new_sender_begins_with_nothing_known_and_gets_its_table_row_by_row(
    page: CataloguePage, qtbot: QtBot
) -> None:
    press(qtbot, page.parts.new_sender)
    made = now(page).part
    assert made == Sender(
        "my-temperature-sender", "New temperature sender", "temperature", UnknownLaw()
    )
    rows = page.form.curve._now
    qtbot.mouseClick(rows.add, Left)
    for at, ohms in (("40", "285"), ("120", "23")):
        row = rows.rows[-1]
        type_into(qtbot, row.at, at)
        qtbot.keyClicks(row.gives, ohms)
        qtbot.keyClick(row.gives, Key.Key_Return)
    part = now(page).part
    assert isinstance(part, Sender)
    assert isinstance(part.law, TableLaw)
    assert [str(point.gives) for point in part.law.points] == ["285 Ω", "23 Ω"]
    assert "shape" in page.form.rows["law.shape"].slot.path


def test_that_a_law_that_needs_more_is_taken_once_it_has_all(
    page: CataloguePage, qtbot: QtBot
) -> None:
    press(qtbot, page.parts.new_sender)
    choose(qtbot, choice(page, "law.kind"), "platinum")
    assert isinstance(now(page).part, Sender)
    assert now(page).revision == 1
    for name, text in (("law.low", "-50"), ("law.high", "150"), ("law.resistance", "100")):
        type_into(qtbot, line(page, name), text)
    part = now(page).part
    assert isinstance(part, Sender)
    assert part.law == PlatinumLaw(
        Amount(-50.0, "°C"),
        Amount(150.0, "°C"),
        part.law.resistance,  # type: ignore[union-attr]
    )
    assert now(page).facts.ends is not None


def test_that_a_formula_has_no_rows_to_edit_until_a_table_takes_its_place(
    page: CataloguePage, qtbot: QtBot
) -> None:
    page.show_part("temperature-platinum-100")
    qtbot.waitUntil(page.form.curve.chart.isVisible)
    rows = page.form.curve.rows[SENDER]
    assert not rows.isVisibleTo(page)
    choose(qtbot, choice(page, "law.kind"), "table")
    qtbot.waitUntil(rows.isVisible)
    assert now(page).revision == 1  # a table of no points is none
    choose(qtbot, choice(page, "law.kind"), "platinum")
    assert not rows.isVisibleTo(page)
    assert now(page).revision == 1


def test_that_going_through_the_kinds_by_the_keys_changes_nothing_until_return(
    page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "level-240-30")
    kind = choice(page, "law.kind")
    kind.setFocus()
    for _ in range(6):
        qtbot.keyClick(kind, Key.Key_Down)
    assert now(page).revision == 1
    qtbot.keyClick(kind, Key.Key_Escape)
    assert kind.word == "table"
    qtbot.keyClick(kind, Key.Key_Tab)
    assert now(page).revision == 1


def test_that_a_gauge_gets_its_movement_and_its_marks(page: CataloguePage, qtbot: QtBot) -> None:
    press(qtbot, page.parts.new_gauge)
    choose(qtbot, choice(page, "movement.kind"), "ratio")
    type_into(qtbot, line(page, "movement.supply_coil"), "110")
    part = now(page).part
    assert isinstance(part, Gauge)
    assert isinstance(part.movement, RatioMovement)
    assert part.movement.supply_coil is not None
    assert part.movement.supply_coil.amount == Amount(110.0, "Ω")
    box = page.form.rows["system"].editors["12 V"]
    qtbot.mouseClick(box, Left, pos=QPoint(10, box.height() // 2))
    part = now(page).part
    assert isinstance(part, Gauge)
    assert part.system == ("12 V",)


def test_that_a_fitting_and_its_switch_are_begun_and_filled(
    page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "pressure-10bar-10-184")
    press(qtbot, page.form.rows["fitting"].editors["begin"])
    type_into(qtbot, line(page, "fitting.thread"), "1/8-27 NPT")
    type_into(qtbot, line(page, "fitting.max_pressure"), "15")
    press(qtbot, page.form.rows["fitting.switch"].editors["begin"])
    type_into(qtbot, line(page, "fitting.switch.operates"), "0.5")
    part = now(page).part
    assert isinstance(part, Sender)
    assert part.fitting is not None
    assert part.fitting.switch is not None
    assert part.fitting.switch.operates == Amount(0.5, "bar")
    type_into(qtbot, line(page, "fitting.thread"), "9/7 of nothing")
    assert page.form.rows["fitting.thread"].fields[0].problem
    type_into(qtbot, page.parts.words, "")
    type_into(qtbot, page.parts.filters.thread_name, "1/8")
    assert keys(page) == ["pressure-10bar-10-184"]


def test_that_a_part_goes_into_the_plan_with_its_revision(
    desk: Window, page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "temperature-450-15-300f")
    type_into(qtbot, line(page, "notes"), "mine")
    press(qtbot, page.parts.use)
    pairing = desk.place.view.pairing
    assert pairing.sender.notes == "mine"
    assert pairing.sender_origin is not None
    assert pairing.sender_origin.revision == 2
    desk.undo()
    assert desk.place.view.pairing.sender.notes != "mine"
    look_at(qtbot, page, "level-240-30")
    assert not page.parts.use.isEnabled()


def test_that_what_was_saved_is_there_at_the_next_start(
    desk: Window, page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "level-240-30")
    type_into(qtbot, line(page, "notes"), "kept")
    desk.close()
    with open_store() as store:
        assert store.part("level-240-30").notes == "kept"


def test_that_what_is_still_being_typed_is_saved_when_the_window_closes(
    desk: Window, page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "level-240-30")
    notes = line(page, "notes")
    notes.setFocus()
    notes.selectAll()
    qtbot.keyClicks(notes, "no Return was pressed")
    desk.close()
    with open_store() as store:
        assert store.part("level-240-30").notes == "no Return was pressed"


def test_that_the_senders_of_the_plan_hear_of_a_new_part(
    desk: Window, page: CataloguePage, qtbot: QtBot
) -> None:
    look_at(qtbot, page, "temperature-450-15-300f")
    press(qtbot, page.parts.copy)
    step = desk.steps["sender"]
    desk.show_step("sender")
    listed = [row.key for row in step.picker.model.rows]  # type: ignore[attr-defined]
    assert "temperature-450-15-300f-copy" in listed


def test_that_other_units_are_shown_at_once(desk: Window, page: CataloguePage) -> None:
    def detail() -> str:
        model = page.parts.list.model
        return plain(model.rows[model.row_of("pressure-10bar-10-184")].detail)

    assert "0 bar to 10 bar" in detail()
    desk.place.reader.use(Settings(units={"pressure": "psi"}))
    # 1 bar is 14.5038 psi (SP 811).
    assert "0 psi to 145" in detail()


@pytest.mark.parametrize("key", ["level-240-30", "gauge-level-240-33-ratio-12v"])
def test_that_every_editor_has_a_name_for_the_blind(page: CataloguePage, key: str) -> None:
    page.show_part(key)
    for row in page.form.rows.values():
        for name, editor in row.editors.items():
            assert editor.accessibleName(), (row.slot.name, name)


def test_that_nothing_can_be_changed_before_the_catalogue_is_open(
    qtbot: QtBot, window: Window
) -> None:
    window.show_step("catalogue")
    step = window.steps["catalogue"]
    assert isinstance(step, CataloguePage)
    assert step.tabs.currentIndex() == PARTS
    assert step.parts.key
    assert not step.form.isEnabled()
    assert not step.parts.new_sender.isEnabled()
    assert "not open" in step.status.text()
    del qtbot
