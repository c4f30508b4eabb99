"""Every check gives every verdict it can, each from a plan that a user could have typed."""

from __future__ import annotations

import ast
import json
import re
from functools import cache
from pathlib import Path

import pytest

import retrofit.fit.verdict as fit_home
import retrofit.plan.checks.check as home
import retrofit.plan.fits as stage
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import SEVERITY, Verdict
from tests.retrofit.plan.plans import (
    LEVEL_240_33,
    Raw,
    assessed,
    check_of,
    gauge,
    mark,
    plan,
    sender,
)
from tests.retrofit.plan.plans import sentence as sentence_of
from tests.retrofit.plan.verdicts.case import CLASS, SAME, VOLT_DIAL, Case, transmitter
from tests.retrofit.plan.verdicts.table import CASES, VERDICTS


@cache
def found(number: int) -> Assessment:
    """What comes of a case, worked out once; typed and read back as a plan file would be."""
    return assessed(json.loads(json.dumps(CASES[number].raw)))


def named(case: Case) -> str:
    return f"{case.check} {case.verdict} {case.why}"


EACH = pytest.mark.parametrize("number", range(len(CASES)), ids=[named(case) for case in CASES])


@EACH
def test_that_a_check_gives_its_verdict_its_number_and_where_to_mend_it(number: int) -> None:
    case = CASES[number]
    check = check_of(found(number), case.check, case.mark)
    assert check.verdict.value == case.verdict, sentence_of(check)
    assert (check.says.key, check.why.key) == (case.says, case.why)
    assert check.step == case.step
    for judged, wanted in ((check.number, case.number), (check.limit, case.limit)):
        if wanted is None:
            assert judged is None
        else:
            assert judged is not None
            assert judged.value == pytest.approx(wanted, abs=case.close, rel=1e-9)


@EACH
def test_that_a_check_reads_as_a_whole_sentence_with_its_unit(number: int) -> None:
    case = CASES[number]
    sentence = sentence_of(check_of(found(number), case.check, case.mark))
    assert "{" not in sentence
    assert "nan" not in sentence
    assert case.unit in sentence
    assert case.mark in sentence


def test_that_every_verdict_of_every_check_has_its_plan() -> None:
    given: dict[str, set[str]] = {}
    for case in CASES:
        given.setdefault(case.check, set()).add(case.verdict)
    assert given == VERDICTS


def test_that_no_check_and_no_verdict_in_the_code_is_left_out() -> None:
    """The verdicts written beside each check's name in the code are all in the table.

    Only the checks of the fit take their names from what ``retrofit.fit`` found; the next test
    holds those.
    """
    folder = Path(home.__file__).parent
    names, verdicts = set(), set()
    for file in folder.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Check":
                if file.name == "fit.py" and ast.unparse(node.args[0]) == "found.name":
                    continue
                assert isinstance(node.args[0], ast.Constant)
                names.add(node.args[0].value)
            if isinstance(node, ast.Attribute) and getattr(node.value, "id", "") == "Verdict":
                verdicts.add(node.attr.lower())
    assert names == set(VERDICTS)
    assert verdicts == {verdict.value for verdict in Verdict}


def fit_names() -> set[str]:
    """Names of checks as they stand in the code of the fit."""
    found = set()
    files = [*Path(fit_home.__file__).parent.glob("*.py"), Path(stage.__file__)]
    for file in files:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in (
                "FitCheck",
                "_check",
            ):
                first = node.args[0] if node.args else None
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    found.add(first.value)
            if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]).lstrip("(").startswith(
                "name"
            ):
                first = node.value.elts[0] if isinstance(node.value, ast.Tuple) else node.value
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    found.add(first.value)
    return found


def test_that_no_check_of_the_fit_is_called_like_another_and_each_is_listed() -> None:
    listed = set(
        re.findall(r'"([a-z ]+)"', (fit_home.FitCheck.__doc__ or "").split("verdict :")[0])
    )
    assert fit_names() == listed
    assert not listed & set(VERDICTS)


def test_that_checks_come_worst_first_and_the_worst_is_the_plans_verdict() -> None:
    for number in range(len(CASES)):
        order = [SEVERITY[check.verdict] for check in found(number).checks]
        assert order == sorted(order)
        assert found(number).verdict is found(number).checks[0].verdict


def test_that_each_mark_has_its_check_even_where_nobody_can_tell_a_reading() -> None:
    marks = [mark("reserve", "10 %", "high"), mark("half", "50 %", "high")]
    for source in (SAME, sender(None, law={"kind": "active"})):
        checks = assessed(plan(CLASS, source, marks=marks)).checks
        names = [check.mark for check in checks if check.name == "mark"]
        assert sorted(names) == ["half", "reserve"]


@pytest.mark.parametrize(
    ("dial", "source"),
    [(VOLT_DIAL, transmitter()), (CLASS, sender(None, law={"kind": "pulsed"}))],
    ids=["volts", "no curve"],
)
def test_that_ohms_in_the_earth_are_no_question_for_a_sender_that_gives_none(
    dial: Raw, source: Raw
) -> None:
    assert "earth" not in {check.name for check in assessed(plan(dial, source)).checks}


def test_that_nothing_left_out_of_a_plan_is_called_good() -> None:
    """A plan with only what must be there: no allowed error, supply range, system or answers."""
    bare = gauge(LEVEL_240_33, movement={"kind": "ratio"}, system=None)
    raw = plan(
        bare,
        SAME,
        allowed=None,
        controller_shares=None,
        marks=[{"name": "reserve", "at": "10 %"}],
        wiring={"supply": {"nominal": "12 V"}},
    )
    good = {check.name for check in assessed(raw).checks if check.verdict is Verdict.GOOD}
    # What remains rests on the two tables alone.
    assert good == {"signal", "range", "direction", "stations"}
