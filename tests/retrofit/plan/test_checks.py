"""Every check gives every verdict it can, each from a plan that a user could have typed."""

from __future__ import annotations

import ast
import json
from pathlib import Path

import pytest

import retrofit.plan.checks.check as checks
from retrofit.plan.checks.check import SEVERITY, Verdict
from tests.retrofit.plan.plans import LEVEL_240_33, assessed, check_of, gauge, mark, plan, sender
from tests.retrofit.plan.plans import sentence as sentence_of
from tests.retrofit.plan.verdicts.case import CLASS, SAME, Case
from tests.retrofit.plan.verdicts.table import CASES, VERDICTS


def named(case: Case) -> str:
    return f"{case.check} {case.verdict} {case.why}"


@pytest.mark.parametrize("case", CASES, ids=named)
def test_that_a_check_gives_its_verdict_its_number_and_where_to_mend_it(case: Case) -> None:
    check = check_of(assessed(json.loads(json.dumps(case.raw))), case.check, case.mark)
    assert check.verdict.value == case.verdict, sentence_of(check)
    assert (check.says.key, check.why.key) == (case.says, case.why)
    assert check.step == case.step
    for found, wanted in ((check.number, case.number), (check.limit, case.limit)):
        if wanted is None:
            assert found is None
        else:
            assert found is not None
            assert found.value == pytest.approx(wanted, abs=case.close, rel=1e-9)


@pytest.mark.parametrize("case", CASES, ids=named)
def test_that_a_check_reads_as_a_whole_sentence_with_its_unit(case: Case) -> None:
    sentence = sentence_of(check_of(assessed(case.raw), case.check, case.mark))
    assert "{" not in sentence
    assert "nan" not in sentence
    assert case.unit in sentence
    assert case.mark in sentence


def test_that_every_verdict_of_every_check_has_its_plan() -> None:
    found: dict[str, set[str]] = {}
    for case in CASES:
        found.setdefault(case.check, set()).add(case.verdict)
    assert found == VERDICTS


def test_that_no_check_and_no_verdict_in_the_code_is_left_out() -> None:
    """The verdicts written beside each check's name in the code are all in the table."""
    folder = Path(checks.__file__).parent
    names, verdicts = set(), set()
    for file in folder.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Check":
                assert isinstance(node.args[0], ast.Constant)
                names.add(node.args[0].value)
            if isinstance(node, ast.Attribute) and getattr(node.value, "id", "") == "Verdict":
                verdicts.add(node.attr.lower())
    assert names == set(VERDICTS)
    assert verdicts == {verdict.value for verdict in Verdict}


def test_that_checks_come_worst_first_and_the_worst_is_the_plans_verdict() -> None:
    for case in CASES:
        found = assessed(case.raw)
        order = [SEVERITY[check.verdict] for check in found.checks]
        assert order == sorted(order)
        assert found.verdict is found.checks[0].verdict


def test_that_each_mark_has_its_check_even_where_nobody_can_tell_a_reading() -> None:
    marks = [mark("reserve", "10 %", "high"), mark("half", "50 %", "high")]
    for source in (SAME, sender(None, law={"kind": "active"})):
        found = assessed(plan(CLASS, source, marks=marks))
        names = [check.mark for check in found.checks if check.name == "mark"]
        assert sorted(names) == ["half", "reserve"]


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
