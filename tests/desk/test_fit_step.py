"""The fit step: threads typed, found, joined; each an edit that undo takes back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from catalog.parts.fitting import SenderFitting
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.steps.duty import DutyStep
from retrofit.desk.steps.fit import FitStep
from retrofit.desk.stock import Stock
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.answers import Answers
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.workplace import Workplace
from retrofit.plan.checks.check import Verdict
from retrofit.plan.fit_document import Fit
from tests.bands.pairings import decoded
from tests.desk.seeing import opened, picked, plain
from tests.desk.whole_window import type_into
from tests.retrofit.fit.test_workshop import OUTCOMES, PIECES, SENDERS
from tests.retrofit.plan.plans import PRESSURE_10_184, check_of, gauge, plan, sender

Key = Qt.Key


@pytest.fixture
def engine(reader: Reader) -> Iterator[Workplace]:
    """Oil pressure; nothing is said of the fit."""
    raw = plan(
        gauge(PRESSURE_10_184, "pressure"), sender(PRESSURE_10_184, "pressure"), medium="oil"
    )
    made = Workplace(Session(decoded(raw)), reader, Stock(), InlineExecutor())
    yield made
    made.close()


@pytest.fixture
def step(qtbot: QtBot, engine: Workplace, theme: Theme) -> FitStep:
    return opened(qtbot, FitStep(engine, theme), 760, 700)


def fit(engine: Workplace) -> Fit:
    return engine.view.pairing.fit or Fit()


def fitting(engine: Workplace) -> SenderFitting:
    return engine.view.pairing.sender.fitting or SenderFitting()


def earthed(engine: Workplace) -> str:
    return engine.view.pairing.sender.earth_return


def typed(qtbot: QtBot, step: FitStep | DutyStep, name: str, text: str) -> None:
    step.go_to(name)
    type_into(qtbot, step.fields[name].editor, text)


def chosen(qtbot: QtBot, step: FitStep | DutyStep, name: str, word: str) -> None:
    """Choose a word by keys: to the first entry, then down to it."""
    step.go_to(name)
    choice = step.fields[name].editor
    assert isinstance(choice, Choice)
    qtbot.keyClick(choice, Key.Key_Home)
    for _ in range(choice.findData(word)):
        qtbot.keyClick(choice, Key.Key_Down)
    assert choice.word == word
    choice.activated.emit(choice.currentIndex())


def shown(step: FitStep, name: str) -> str:
    editor = step.fields[name].editor
    assert isinstance(editor, QLineEdit)
    return plain(editor.text())


def test_that_nothing_is_drawn_until_both_threads_are_known(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    assert step.profile.isHidden()
    assert step.chain.view.isHidden()
    typed(qtbot, step, "thread", "1/8-27 npt")
    assert step.profile.isHidden()
    assert check_of(engine.assessment(), "thread").field == "port_thread"
    typed(qtbot, step, "port_thread", "m10 x 1")
    assert fit(engine).port.thread == "M10x1"
    assert not step.profile.isHidden()
    assert "1/8-27 NPT starts in M10x1 and binds after" in plain(
        step.profile.accessibleDescription()
    )
    assert "M10x1 male to 1/8-27 NPT" in plain(step.chain.view.accessibleDescription())


def test_that_five_senders_go_through_the_step_at_five_ports(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    for port, outcomes in OUTCOMES.items():
        typed(qtbot, step, "port_thread", port)
        for thread, outcome, pieces in zip(SENDERS, outcomes, PIECES[port], strict=True):
            typed(qtbot, step, "thread", thread)
            found = engine.assessment().fit
            assert found.direct is not None
            assert found.direct.outcome == outcome
            assert not step.profile.isHidden()
            assert step.chain.view.isHidden() == (pieces is None)
            assert plain(step.profile.accessibleDescription()).startswith(thread)


def test_that_what_is_no_thread_is_refused_there_and_nothing_is_lost(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    before = engine.view.plan
    typed(qtbot, step, "thread", "1/8 BSP")
    assert "1/8" in step.fields["thread"].problem
    assert shown(step, "thread") == "1/8 BSP"
    assert engine.view.plan is before
    typed(qtbot, step, "port_thread", "R 1/4")
    assert fit(engine).port.thread == "Rc 1/4"  # a female R is an Rc


@pytest.mark.parametrize("by_mouse", [True, False], ids=["mouse", "keys"])
def test_that_a_thread_picked_from_those_offered_is_in_the_plan_and_stays(
    qtbot: QtBot, step: FitStep, engine: Workplace, by_mouse: bool
) -> None:
    picked(qtbot, step.fields["thread"].editor, "1/8", "1/8-27 NPT", by_mouse=by_mouse)
    assert fitting(engine).thread == "1/8-27 NPT"
    picked(qtbot, step.fields["port_thread"].editor, "m10", "M10x1", by_mouse=by_mouse)
    assert fit(engine).port.thread == "M10x1"
    assert shown(step, "thread") == "1/8-27 NPT"
    assert not step.profile.isHidden()
    engine.session.undo()
    engine.session.undo()
    assert shown(step, "thread") == ""


def test_that_the_sender_stays_the_catalogues_and_undo_takes_its_thread_back(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    typed(qtbot, step, "thread", "G 1/8")
    typed(qtbot, step, "thread_length", "8")
    assert str(fitting(engine).thread_length) == "8 mm"
    engine.session.undo()
    assert fitting(engine).thread_length is None
    assert shown(step, "thread_length") == ""
    engine.session.undo()
    assert engine.view.pairing.sender.fitting is None
    assert shown(step, "thread") == ""


def test_that_a_chain_is_chosen_piece_by_piece_and_a_wrong_one_is_a_stop(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    typed(qtbot, step, "thread", "1/8-27 NPT")
    typed(qtbot, step, "port_thread", "M10x1")
    chosen(qtbot, step, "adapters", "own")
    assert fit(engine).adapters == ("adapter-m10-npt-1-8",)
    chosen(qtbot, step, "piece0", "adapter-m10-g-1-8")
    assert check_of(engine.assessment(), "thread").verdict is Verdict.STOP
    chosen(qtbot, step, "piece1", "adapter-g-1-8-npt-1-8")
    assert fit(engine).adapters == ("adapter-m10-g-1-8", "adapter-g-1-8-npt-1-8")
    assert check_of(engine.assessment(), "chain").verdict is Verdict.CAUTION
    step.go_to("piece0")
    qtbot.keyClick(step.fields["piece0"].editor, Key.Key_Home)  # None: the next one moves up
    assert fit(engine).adapters == ("adapter-g-1-8-npt-1-8",)
    chosen(qtbot, step, "adapters", "shortest")
    assert fit(engine).adapters is None


def test_that_a_seal_is_asked_for_each_joint_and_a_wrong_one_is_a_stop(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    typed(qtbot, step, "thread", "1/8-27 NPT")
    typed(qtbot, step, "port_thread", "M10x1")
    assert not step.fields["seal1"].isHidden()
    assert step.fields["seal2"].isHidden()
    chosen(qtbot, step, "seal1", "compound")
    assert check_of(engine.assessment(), "seal").verdict is Verdict.UNKNOWN
    chosen(qtbot, step, "seal0", "tape")
    check = check_of(engine.assessment(), "seal")
    assert (check.verdict, check.field) == (Verdict.STOP, "seal0")
    chosen(qtbot, step, "seal0", "crush washer")
    assert check_of(engine.assessment(), "seal").verdict is Verdict.GOOD
    assert fit(engine).seals == ("crush washer", "compound")


def test_that_a_hose_and_a_tee_ask_for_what_they_need(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    typed(qtbot, step, "thread", "1/8-27 NPT")
    typed(qtbot, step, "port_thread", "1/8-27 NPT")
    assert step.fields["beside_grams"].isHidden()
    chosen(qtbot, step, "through", "tee")
    assert not step.fields["beside_grams"].isHidden()
    typed(qtbot, step, "body_mass_grams", "0,25 kg" if engine.reader.decimal == "," else "0.25 kg")
    typed(qtbot, step, "body_length", "60 mm")
    typed(qtbot, step, "beside_grams", "60")
    assert fitting(engine).body_mass_grams == 250.0
    assert fit(engine).beside_grams == 60.0
    # Case C46 of the trade: a heavy sender on a tee hangs too much on its stub.
    assert check_of(engine.assessment(), "overhang").verdict is not Verdict.GOOD
    chosen(qtbot, step, "supported", "yes")
    assert check_of(engine.assessment(), "overhang").verdict is Verdict.GOOD


def test_that_a_mass_and_a_count_that_are_none_are_refused(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    before = engine.view.plan
    typed(qtbot, step, "body_mass_grams", "heavy")
    assert step.fields["body_mass_grams"].problem
    typed(qtbot, step, "terminals", "1.5")
    assert "whole number" in step.fields["terminals"].problem
    typed(qtbot, step, "terminals", "40")
    assert "40" in step.fields["terminals"].problem
    assert engine.view.plan is before


def test_that_a_switch_begins_with_its_point_and_is_judged_against_the_warning(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    step._switch.open()
    assert step.fields["hysteresis"].isHidden()
    typed(qtbot, step, "operates", "0.6 bar")
    assert not step.fields["hysteresis"].isHidden()
    check = check_of(engine.assessment(), "switch point")
    assert (check.verdict, check.step, check.field) == (Verdict.UNKNOWN, "duty", "warning_at")
    duty = opened(qtbot, DutyStep(engine), 760, 700)
    duty.go_to(check.field)
    typed(qtbot, duty, "warning_at", "0.3 bar")
    chosen(qtbot, duty, "warning_side", "low")
    step.activateWindow()
    typed(qtbot, step, "hysteresis", "0.1 bar")
    typed(qtbot, step, "switch_tolerance", "0.1 bar")
    assert check_of(engine.assessment(), "switch point").verdict is Verdict.GOOD
    typed(qtbot, step, "operates", "")
    assert engine.view.pairing.sender.fitting is None


def test_that_a_probe_thicker_than_the_piece_before_it_is_a_stop(
    qtbot: QtBot, place: Workplace, theme: Theme
) -> None:
    step = opened(qtbot, FitStep(place, theme), 760, 700)
    typed(qtbot, step, "thread", "1/8-27 NPT")
    typed(qtbot, step, "port_thread", "M10x1")
    typed(qtbot, step, "probe", "40 mm")
    typed(qtbot, step, "probe_diameter", "9 mm")
    # The passage through a male M10x1 cannot be wider than its root, 8.8 mm (ISO 261, ISO 724).
    check = check_of(place.assessment(), "bore")
    assert check.verdict is Verdict.STOP
    assert step.fields["probe_diameter"].isVisibleTo(step)


def test_that_media_are_ticked(qtbot: QtBot, step: FitStep, engine: Workplace) -> None:
    typed(qtbot, step, "thread", "G 1/8")
    step.ensureWidgetVisible(step.media)
    box = step.media.boxes["water"]
    qtbot.mouseClick(box, Qt.MouseButton.LeftButton, pos=QPoint(8, box.height() // 2))
    assert fitting(engine).media == ("water",)
    assert check_of(engine.assessment(), "medium").verdict is Verdict.STOP
    engine.session.undo()
    assert not box.isChecked()


def readings(qtbot: QtBot, step: FitStep, **texts: str) -> None:
    """Unfold the calliper's card, type into its fields and press its button."""
    card = step.calliper
    step.ensureWidgetVisible(card.heading)
    if not card.heading.isChecked():
        qtbot.mouseClick(card.heading, Qt.MouseButton.LeftButton)
    for name, text in texts.items():
        step.ensureWidgetVisible(card.fields[name])
        type_into(qtbot, card.fields[name].editor, text)
    step.ensureWidgetVisible(card.button)
    qtbot.mouseClick(card.button, Qt.MouseButton.LeftButton)


def test_that_a_calliper_finds_the_thread_names_its_look_alike_and_puts_it_in(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    before = engine.view.plan
    readings(qtbot, step, diameter="9.75", turns="27.5")
    card = step.calliper
    rows = [row for row in card.rows_of if not row.isHidden()]
    told = [plain(row.says.text()) for row in rows]
    assert [words.partition(":")[0] for words in told] == ["G 1/8", "1/8-27 NPT"]
    assert "measure the diameter at the start and again" in plain(card.look_alikes.text())
    assert engine.view.plan is before  # readings are no part of the plan
    qtbot.wait(1)  # the rows that came find their places
    step.ensureWidgetVisible(rows[1].button)
    qtbot.mouseClick(rows[1].button, Qt.MouseButton.LeftButton)
    assert fitting(engine).thread == "1/8-27 NPT"
    assert shown(step, "thread") == "1/8-27 NPT"


def test_that_a_second_diameter_settles_it_and_a_port_goes_to_the_port(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    readings(qtbot, step, diameter="9.47", second="9.85", apart="6", turns="28")
    rows = [row for row in step.calliper.rows_of if not row.isHidden()]
    assert [plain(row.says.text()).partition(":")[0] for row in rows] == ["R 1/8"]
    step.calliper.gender.set_word("female")
    readings(qtbot, step, diameter="8.95", second="", apart="", turns="", pitch="1")
    row = step.calliper.rows_of[0]
    step.ensureWidgetVisible(row.button)
    qtbot.mouseClick(row.button, Qt.MouseButton.LeftButton)
    assert fit(engine).port.thread == "M10x1"


def test_that_a_worn_thread_is_found_once_somebody_says_that_it_may_be_worn(
    qtbot: QtBot, step: FitStep
) -> None:
    # 9.55 mm over worn crests; ASME B1.20.1: 1/8-27 NPT has 0.3896 in (9.90 mm) at its L1 plane.
    readings(qtbot, step, diameter="9.55", turns="27")
    card = step.calliper
    assert "1/8-27 NPT" in plain(card.problem.text())
    assert all(row.isHidden() for row in card.rows_of)
    step.bring_up(card.worn)
    qtbot.keyClick(card.worn, Key.Key_End)
    readings(qtbot, step)
    rows = [row for row in card.rows_of if not row.isHidden()]
    assert [plain(row.says.text()).partition(":")[0] for row in rows] == ["1/8-27 NPT"]
    assert card.problem.isHidden()


@pytest.mark.parametrize(
    ("texts", "says"),
    [
        ({}, "Measure at least the diameter"),
        ({"diameter": "14.3", "turns": "14"}, "Measure the pitch and the outside diameter again"),
        ({"diameter": "9.7", "turns": "none"}, "does not begin with a number"),
        ({"diameter": "9.7", "second": "9.0", "apart": "5"}, "thinner further from its tip"),
    ],
    ids=["nothing", "no such thread", "no number", "reversed"],
)
def test_that_readings_of_no_thread_say_which_measurement_to_repeat(
    qtbot: QtBot, step: FitStep, texts: dict[str, str], says: str
) -> None:
    readings(qtbot, step, **texts)
    assert says in plain(step.calliper.problem.text())
    assert not step.calliper.problem.isHidden()
    assert all(row.isHidden() for row in step.calliper.rows_of)


def marks(answers: Answers) -> dict[str, Verdict]:
    """The sentences of a card's answers, each with the verdict of its mark."""
    return {plain(row.says.text()): row.verdict for row in answers.rows}


def answers_at(step: FitStep, name: str) -> Answers:
    """The answers in the card that holds a field."""
    card = step.fields[name].parentWidget()
    assert card is not None
    (found,) = card.findChildren(Answers)
    return found


def test_that_each_card_answers_with_the_mark_of_its_verdict_and_the_worst_stands_on_top(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    assert step.answers.worst.isHidden()  # the one question is in the first card
    assert marks(answers_at(step, "thread")) == {
        "Nobody said which threads sender and port have.": Verdict.UNKNOWN
    }
    typed(qtbot, step, "thread", "1/8-27 NPT")
    typed(qtbot, step, "port_thread", "M10x1")
    direct = next(iter(marks(answers_at(step, "thread")).items()))
    assert direct[0].startswith("1/8-27 NPT")
    assert direct[1] is Verdict.STOP
    chosen(qtbot, step, "seal0", "tape")
    sealed = "M10x1 in M10x1 is sealed by: tape in the thread."
    assert marks(answers_at(step, "seal0"))[sealed] is Verdict.STOP
    assert step.answers.worst.accessibleName() == f"stop: {sealed}"
    step.go_to("hottest")
    step.ensureWidgetVisible(step.answers.worst)
    qtbot.mouseClick(step.answers.worst, Qt.MouseButton.LeftButton)
    assert step.focusWidget() is step.fields["seal0"].editor
    # Every check of the fit is answered in one card, whatever its name.
    told = [row for each in step.findChildren(Answers) for row in each.rows]
    said = sorted(plain(row.says.text()) for row in told)
    found = engine.assessment().fit
    assert found.direct is not None
    wanted = {found.direct.check.says, *(check.says for check in found.checks)}
    assert said == sorted(plain(engine.reader.sentence(one)) for one in wanted)


def test_that_what_is_shown_of_an_earlier_thread_says_so_until_the_new_one_is_understood(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    def notices() -> list[str]:
        labels = [one for one in step.findChildren(QLabel) if one.objectName() == "notice"]
        return [plain(one.text()) for one in labels if not one.isHidden()]

    typed(qtbot, step, "thread", "1/8-27 NPT")
    typed(qtbot, step, "port_thread", "M10x1")
    assert notices() == []
    bold = step.profile.grab().toImage()
    typed(qtbot, step, "port_thread", "1/8 NPSF")
    assert notices() == ["Shown for M10x1, the last thread of the port that was understood."] * 2
    views = (step.profile, step.chain.view)
    assert [view.faded for view in views] == [True, True]
    assert step.profile.grab().toImage() != bold
    assert not step.answers.worst.isEnabled()
    typed(qtbot, step, "thread_length", "9")  # anything else leaves it as it is
    assert len(notices()) == 2
    qtbot.keyClick(step.fields["port_thread"].editor, Key.Key_Escape)
    assert notices() == []
    assert [view.faded for view in views] == [False, False]
    assert shown(step, "port_thread") == "M10x1"
    typed(qtbot, step, "port_thread", "1/8 NPSF")
    typed(qtbot, step, "port_thread", "G 1/8")
    assert notices() == []
    assert fit(engine).port.thread == "G 1/8"


def test_that_how_the_sender_is_earthed_is_asked_where_its_earth_is_judged(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    typed(qtbot, step, "thread", "G 1/8")
    chosen(qtbot, step, "earth_return", "unknown")
    assert earthed(engine) == "unknown"
    step.go_to("return")
    assert step.focusWidget() is step.fields["earth_return"].editor
    chosen(qtbot, step, "earth_return", "insulated")
    assert earthed(engine) == "insulated"
    engine.session.undo()
    assert earthed(engine) == "body"  # one step of undo for one field


def test_that_drawings_are_as_wide_as_their_card_and_letters_keep_their_size(
    qtbot: QtBot, step: FitStep
) -> None:
    typed(qtbot, step, "thread", "1/4-18 NPT")
    typed(qtbot, step, "port_thread", "5/8-18 UNF")
    for width in (560, 980):
        step.resize(width, 700)
        qtbot.wait(1)
        for view in (step.profile, step.chain.view):
            assert view.box.width() == pytest.approx(view.width(), abs=1.0)
            assert view.box.height() == pytest.approx(view.height(), abs=1.0)


def test_that_every_check_of_the_fit_leads_to_a_field_that_can_be_seen(
    qtbot: QtBot, step: FitStep, engine: Workplace
) -> None:
    typed(qtbot, step, "thread", "1/8-27 NPT")
    typed(qtbot, step, "port_thread", "M10x1")
    typed(qtbot, step, "operates", "0.6 bar")
    typed(qtbot, step, "charge_bulb", "2 W")
    typed(qtbot, step, "panel_hole", "52 mm")
    seen = [check for check in engine.assessment().checks if check.step == "fit"]
    assert len(seen) > 10
    for check in seen:
        step.go_to(check.field)
        focused = step.focusWidget()
        assert focused is not None, check.name
        assert focused.isVisibleTo(step), check.name
        if check.name not in ("thread", "chain"):
            assert focused is not step.fields["thread"].editor, (check.name, check.field)


def test_that_the_cautions_stand_where_the_hands_are(step: FitStep) -> None:
    (never, *_) = [each for each in step.findChildren(QLabel) if "never force it" in each.text()]
    column = step.column
    assert column.indexOf(never) < column.indexOf(step.calliper)
    words = " ".join(
        label.text() for label in step.findChildren(QLabel) if label.objectName() == "caution"
    )
    assert "never force it" in words
    assert "Engine oil is hot and under pressure" in words


def test_that_units_of_the_reader_are_shown(qtbot: QtBot, step: FitStep, engine: Workplace) -> None:
    typed(qtbot, step, "max_pressure", "100 psi")
    assert str(fitting(engine).max_pressure.amount) == "100 psi"  # type: ignore[union-attr]
    assert shown(step, "max_pressure") in ("100 psi", "6.89 bar", "6.9 bar")
