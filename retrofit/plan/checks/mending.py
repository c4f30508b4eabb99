"""Check that an installation which reads wrong is tested before it is trimmed."""

from __future__ import annotations

from catalog.message import Message, message
from retrofit.plan.bench_tests import TEST_KINDS
from retrofit.plan.checks.check import COMMON, Check, Verdict
from retrofit.plan.document import Pairing, Plan


def check_tests(plan: Plan, pairing: Pairing) -> Check | None:
    """Return whether supply, earth and gauge have been tested, None where nobody has to.

    A trim around a fault hides the fault. Asked where the plan mends an installation that reads
    wrong, and where there is a trim and nobody said whether it does.
    """
    if plan.mends == "no" or (plan.mends == "unknown" and not pairing.trim):
        return None
    if plan.mends == "unknown":
        says, why = message("check.tests.unsaid"), message("check.tests.unsaid_why")
        return _tests(Verdict.UNKNOWN, says, why, "mends")
    tests = {test.kind: test for test in plan.tests}
    missing = [kind for kind in TEST_KINDS if kind not in tests]
    if missing:
        first = message(f"tests.{missing[0]}")
        says = message("check.tests.missing", test=first, left=len(missing))
        return _tests(Verdict.UNKNOWN, says, message(f"check.tests.do_{missing[0]}"))
    for kind in TEST_KINDS:
        if not tests[kind].done:
            says = message("check.tests.overridden", test=message(f"tests.{kind}"))
            why = message("check.tests.reason", reason=tests[kind].overridden.strip())
            return _tests(Verdict.CAUTION, says, why)
    days = {
        f"{kind}_{what}": getattr(tests[kind], name).strip()
        for kind in TEST_KINDS
        for what, name in (("day", "done_on"), ("reading", "reading"))
    }
    return _tests(Verdict.GOOD, message("check.tests.done"), message("check.tests.kept", **days))


def _tests(verdict: Verdict, says: Message, why: Message, field: str = "tests") -> Check:
    return Check("tests", verdict, says, why, None, None, COMMON, "trim", field)
