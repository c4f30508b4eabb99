"""The checks of the fit: what ``retrofit.plan.fits`` found, with where each is mended."""

from __future__ import annotations

from retrofit.fit.verdict import FitCheck
from retrofit.plan.checks.check import Check, Facts, Step, Verdict
from retrofit.plan.fits import fit_of


def check_fit(facts: Facts) -> list[Check]:
    """Return the checks of the fit that apply, at least that of the thread.

    Their names and verdicts are those of ``retrofit.fit``, whose tests hold a case for each.
    """
    return [_as_check(found, facts) for found in fit_of(facts.pairing, facts.duty).checks]


def _as_check(found: FitCheck, facts: Facts) -> Check:
    step, field = _mended_at(found, facts)
    return Check(
        found.name,
        Verdict(found.verdict),
        found.says,
        found.why,
        found.number,
        found.limit,
        found.basis,
        step=step,
        field=field,
    )


_OF_DUTY = {
    "pressure_rating.no_duty": "highest_pressure",
    "medium.no_duty": "medium",
    "electrolysis.medium": "medium",
    "in_fuel.unknown": "medium",
    "switch.no_warning": "warning_at",
}


def _mended_at(found: FitCheck, facts: Facts) -> tuple[Step, str]:
    """Return the step and field that mend a check: what is missing may stand at another step."""
    key = found.says.key
    if key in _OF_DUTY:
        return "duty", _OF_DUTY[key]
    if key == "return.sender" and found.field == "return":
        return "sender", "earth_return"
    if key == "contact_rating.no_lamp" or (found.field == "lamp" and found.name == "lamp glow"):
        return "wiring", "lamp"
    if found.name == "place" and facts.duty.point == "unknown":
        return "duty", "point"
    return "fit", found.field
