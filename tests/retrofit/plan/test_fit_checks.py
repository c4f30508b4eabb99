"""The checks of the fit in a plan: which are asked, what they say, where each is mended."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.codec import decode
from catalog.errors import UserError
from catalog.threads.standards import threads
from retrofit.plan.allowed_ohms import allowed_ohms
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import Check, Verdict
from retrofit.plan.document import Plan
from retrofit.plan.export import exported
from tests.retrofit.plan.plans import (
    COILS,
    PRESSURE_10_184,
    TEMPERATURE_291_22,
    Raw,
    assessed,
    check_of,
    gauge,
    plan,
    sender,
    sentence,
)

EARTH_RETURN = {"supply": {"nominal": "13.5 V", "low": "11 V", "high": "14.4 V"}}


def fitted(
    fitting: Raw | None = None,
    fit: Raw | None = None,
    quantity: str = "pressure",
    **duty: Any,
) -> Assessment:
    return assessed(raw(fitting, fit, quantity, **duty))


def raw(
    fitting: Raw | None = None, fit: Raw | None = None, quantity: str = "pressure", **duty: Any
) -> Raw:
    rows = {"pressure": PRESSURE_10_184, "temperature": TEMPERATURE_291_22}[quantity]
    dial = gauge(rows, quantity, movement={"kind": "ratio", "pull_off": "0 %", **COILS})
    source = sender(rows, quantity, **({} if fitting is None else {"fitting": fitting}))
    made = plan(dial, source, **duty)
    if fit is not None:
        made["pairings"][0]["fit"] = fit
    return made


def of_fit(found: Assessment) -> dict[str, Check]:
    return {check.name: check for check in found.checks if check.step == "fit"}


def test_that_a_plan_that_says_nothing_of_threads_gets_one_check_that_says_what_to_measure() -> (
    None
):
    found = of_fit(fitted())
    assert list(found) == ["thread"]
    check = found["thread"]
    assert check.verdict is Verdict.UNKNOWN
    assert "calliper" in sentence(check)
    assert check.field == "thread"


def test_that_a_port_alone_asks_for_the_senders_thread_and_the_other_way_round() -> None:
    port = check_of(fitted(fit={"port": {"thread": "M10x1"}}), "thread")
    assert (port.says.key, port.field) == ("fit.thread.sender", "thread")
    other = check_of(fitted({"thread": "M10x1"}), "thread")
    assert (other.says.key, other.field) == ("fit.thread.port", "port_thread")


def test_that_every_question_of_a_bare_pair_of_threads_is_unknown_and_none_is_good() -> None:
    found = fitted({"thread": "M10x1"}, {"port": {"thread": "M10x1"}})
    verdicts = {check.name: check.verdict for check in found.checks}
    asked = {"engagement", "seal", "return", "fit earth", "pressure", "medium", "temperature"}
    asked |= {"place", "terminals"}
    assert {name for name in asked if verdicts[name] is Verdict.UNKNOWN} == asked
    good = {check.name for check in found.fit.checks if check.verdict == "good"}
    assert good == {"thread", "chain"}  # the threads alone say that much


WHOLE_FITTING: Raw = {
    "thread": "1/8-27 NPT",
    "thread_length": "10 mm",
    "terminals": 1,
    "max_pressure": "10 bar",
    "proof_pressure": "20 bar",
    "coldest": "-40 °C",
    "hottest": "140 °C",
    "media": ["oil"],
    "body_length": "40 mm",
    "body_mass_grams": 80.0,
    "switch": {
        "operates": "0.6 bar",
        "hysteresis": "0.1 bar",
        "tolerance": "0.1 bar",
        "below": "closed",
        "contact_rating": "3 A",
    },
}
WHOLE_FIT: Raw = {
    "port": {
        "thread": "1/8-27 NPT",
        "depth": "10 mm",
        "mounted_at": "oil gallery after the filter",
        "coldest": "-20 °C",
        "hottest": "120 °C",
    },
    "seals": ["compound"],
    "isolated": "no",
    "earth_lead": "no",
    "earth_drop": "0.01 V",
    "earth_current": "0.1 A",
}
WHOLE_DUTY: Raw = {
    "medium": "oil",
    "highest_pressure": "6 bar",
    "point": "oil gallery after the filter",
    "warning": {"at": "0.3 bar", "side": "low", "normal": "1 bar"},
    "wiring": {**EARTH_RETURN, "lamp": {"watts": "2 W", "lit_by": "bulb"}},
}


def test_that_a_fit_of_which_everything_is_said_has_no_unknown_left() -> None:
    found = of_fit(fitted({**WHOLE_FITTING}, {**WHOLE_FIT}, **WHOLE_DUTY))
    by_name = {name: check.verdict.value for name, check in found.items()}
    assert by_name == {
        "thread": "good",
        "chain": "good",
        "engagement": "good",
        "overhang": "good",
        "seal": "good",
        # Compound in the thread of a body return: by chance metal to metal, so measured.
        "seal contact": "caution",
        "fit earth": "good",
        "return": "good",
        "pressure": "good",
        "medium": "good",
        "temperature": "good",
        "place": "good",
        "terminals": "good",
        "switch point": "good",
        "contact": "good",
        "contact rating": "good",
        "broken wire": "good",
    }


WEAK = {"max_pressure": "5 bar", "proof_pressure": None}
NO_MARGIN = {"max_pressure": "7 bar", "proof_pressure": "8 bar"}
NARROW = {"hole": "50 mm", "body": "52 mm"}
UNMEASURED = {"earth_drop": None, "earth_current": None}
UNWEIGHED = {"body_mass_grams": None, "body_length": None}
MENDED = {"bulb": "2 W", "resistor": "82 Ω", "rated": "6 W"}

CASES: list[tuple[str, str, Raw, Raw, Raw, str, str]] = [
    ("pressure", "stop", WEAK, {}, {}, "fit", "max_pressure"),
    ("pressure", "caution", NO_MARGIN, {}, {}, "fit", "max_pressure"),
    ("pressure", "unknown", {}, {}, {"highest_pressure": None}, "duty", "highest_pressure"),
    ("medium", "stop", {"media": ["water"]}, {}, {}, "fit", "media"),
    ("medium", "unknown", {}, {}, {"medium": "other"}, "duty", "medium"),
    ("temperature", "stop", {"hottest": "100 °C"}, {}, {}, "fit", "temperature_range"),
    ("seal", "stop", {}, {"seals": ["crush washer"]}, {}, "fit", "seal0"),
    ("seal", "unknown", {}, {"seals": None}, {}, "fit", "seal0"),
    ("return", "stop", {}, {"isolated": "yes"}, {}, "fit", "return"),
    ("fit earth", "stop", {}, {"earth_drop": "2 V"}, {}, "fit", "earth_lead"),
    ("fit earth", "unknown", {}, {"earth_current": None}, {}, "fit", "earth_current"),
    ("terminals", "stop", {"terminals": 4}, {}, {}, "fit", "terminals"),
    ("place", "caution", {}, {"port": {"mounted_at": "oil sump"}}, {}, "fit", "place"),
    ("place", "unknown", {}, {}, {"point": None}, "duty", "point"),
    ("engagement", "stop", {}, {"port": {"depth": "3 mm"}}, {}, "fit", "thread_length"),
    ("engagement", "caution", {}, {"port": {"depth": "6 mm"}}, {}, "fit", "thread_length"),
    ("engagement", "unknown", {}, {"port": {"depth": None}}, {}, "fit", "depth"),
    ("engagement", "unknown", {"thread_length": None}, {}, {}, "fit", "thread_length"),
    ("engagement", "unknown", {}, {"port": {"wall": "8 mm"}}, {}, "fit", "depth"),
    ("seal", "unknown", {}, {"seals": ["compound", "tape"]}, {}, "fit", "seal0"),
    ("fit earth", "unknown", {}, UNMEASURED, {}, "fit", "earth_lead"),
    # 40 mm of body, a tube of 8.481 and 4.24 mm: 20 MPa at 23 mm of arm for 485 g, 16 for 700 g.
    ("overhang", "caution", {"body_mass_grams": 485.0}, {}, {}, "fit", "adapters"),
    ("overhang", "stop", {"body_mass_grams": 700.0}, {}, {}, "fit", "adapters"),
    ("overhang", "unknown", UNWEIGHED, {}, {}, "fit", "body_mass"),
    ("switch point", "stop", {"switch": {"operates": "0.3 bar"}}, {}, {}, "fit", "switch"),
    ("switch point", "unknown", {"switch": {"hysteresis": None}}, {}, {}, "fit", "switch"),
    ("switch point", "unknown", {}, {}, {"warning": None}, "duty", "warning_at"),
    ("contact", "stop", {"switch": {"below": "open"}}, {}, {}, "fit", "switch"),
    ("contact rating", "stop", {"switch": {"contact_rating": "0.1 A"}}, {}, {}, "fit", "switch"),
    ("contact rating", "unknown", {}, {}, {"wiring": EARTH_RETURN}, "wiring", "lamp"),
    ("shared", "stop", {}, {"port": {"shared_with_controller": "yes"}}, {}, "fit", "place"),
    ("panel hole", "stop", {}, {"panel": NARROW}, {}, "fit", "panel_hole"),
    ("panel depth", "unknown", {}, {"panel": {"room": "90 mm"}}, {}, "fit", "panel_depth"),
    ("switch test", "stop", {}, {"trial": {"at": "0.3 bar"}}, {}, "fit", "switch"),
    ("excitation", "stop", {}, {"charge_lamp": {"bulb": "2 W"}}, {}, "fit", "lamp"),
    ("excitation", "good", {}, {"charge_lamp": MENDED}, {}, "fit", "lamp"),
]  # fmt: skip
"""Check, verdict, what differs in fitting, fit and duty, and where it is mended."""


def merged(base: Raw, changes: Raw) -> Raw:
    """A record with changes put in; a field of None is one that the user left out."""
    made = dict(base)
    for key, value in changes.items():
        inner = made.get(key)
        both = isinstance(inner, dict) and isinstance(value, dict) and key in ("port", "switch")
        made[key] = merged(inner, value) if both else value  # type: ignore[arg-type]
    return {key: value for key, value in made.items() if value is not None}


@pytest.mark.parametrize(
    "case", CASES, ids=[f"{case[0]} {case[1]} {number}" for number, case in enumerate(CASES)]
)
def test_that_a_change_of_the_plan_gives_its_verdict_and_says_where_it_is_mended(
    case: tuple[str, str, Raw, Raw, Raw, str, str],
) -> None:
    name, verdict, fitting, fit, duty, step, field = case
    found = fitted(merged(WHOLE_FITTING, fitting), merged(WHOLE_FIT, fit), **{**WHOLE_DUTY, **duty})
    check = check_of(found, name)
    assert check.verdict.value == verdict, sentence(check)
    assert (check.step, check.field) == (step, field)


def test_that_a_probe_behind_an_adapter_stays_out_of_the_flow() -> None:
    fitting = {"thread": "1/8-27 NPT", "probe": "20 mm", "terminals": 1}
    fit = {"port": {"thread": "M10x1", "wall": "8 mm", "highest_point": "yes", "bled": "no"}}
    found = of_fit(fitted(fitting, fit, "temperature", medium="coolant"))
    # 14 mm of adapter and 8 mm of wall against 20 mm of probe.
    assert found["immersion"].verdict is Verdict.STOP
    assert found["immersion"].number is not None
    assert found["immersion"].number.value == pytest.approx(-2e-3)
    assert found["lag"].verdict is Verdict.CAUTION
    assert found["air pocket"].verdict is Verdict.STOP
    assert "thread" not in found


PROBED: Raw = {"thread": "1/8-27 NPT", "probe": "40 mm", "thread_length": "10 mm", "terminals": 1}


def test_that_a_taper_thread_shortens_how_far_a_probe_stands_in_the_flow() -> None:
    # 10 mm of thread, 4.36 − 0.5 to 4.36 + 5 turns of 0.9407 mm engaged: 1.2 to 6.4 mm proud.
    straight: Raw = {"port": {"thread": "1/8-27 NPT", "wall": "12 mm"}}
    found = of_fit(fitted(PROBED, straight, "temperature", medium="coolant"))["immersion"]
    assert found.verdict is Verdict.GOOD
    assert found.number is not None
    assert found.number.value == pytest.approx(40e-3 - 12e-3 - 6.37e-3, abs=2e-5)
    unmeasured = {key: value for key, value in PROBED.items() if key != "thread_length"}
    unknown = of_fit(fitted(unmeasured, straight, "temperature", medium="coolant"))["immersion"]
    assert unknown.verdict is Verdict.UNKNOWN
    assert "threaded length" in sentence(unknown)
    # A parallel sender goes to its face, measured thread or not.
    parallel: Raw = {"port": {"thread": "M10x1", "wall": "12 mm"}}
    face = of_fit(fitted({**unmeasured, "thread": "M10x1"}, parallel, "temperature"))["immersion"]
    assert face.number is not None
    assert face.number.value == pytest.approx(28e-3)


def test_that_a_wall_thinner_than_its_thread_is_deep_is_measured_again() -> None:
    port = {"thread": "1/8-27 NPT", "wall": "8 mm", "depth": "10 mm"}
    found = of_fit(fitted(PROBED, {"port": port}, "temperature", medium="coolant"))
    for name in ("engagement", "immersion"):
        assert found[name].verdict is Verdict.UNKNOWN
        assert "again" in sentence(found[name])


@pytest.mark.parametrize(
    ("diameter", "verdict"), [("6 mm", "stop"), ("4 mm", "good"), (None, "unknown")]
)
def test_that_a_probe_is_held_against_the_bore_of_its_adapter(
    diameter: str | None, verdict: str
) -> None:
    fitting = PROBED if diameter is None else {**PROBED, "probe_diameter": diameter}
    adapted = of_fit(fitted(fitting, {"port": {"thread": "M10x1"}}, "temperature"))
    assert adapted["bore"].verdict.value == verdict
    assert adapted["bore"].field == "probe_diameter"
    straight = of_fit(fitted(fitting, {"port": {"thread": "1/8-27 NPT"}}, "temperature"))
    assert "bore" not in straight


def test_that_a_seal_of_the_old_thread_is_neither_tight_nor_an_earth() -> None:
    # A crush washer was right for M10x1; in a taper joint it lies beside the thread.
    fit = {"port": {"thread": "1/8-27 NPT"}, "seals": ["crush washer"], "isolated": "no"}
    found = of_fit(fitted({"thread": "1/8-27 NPT", "terminals": 1}, fit))
    assert found["seal"].verdict is Verdict.STOP
    assert found["fit earth"].verdict is Verdict.UNKNOWN
    assert "seal contact" not in found or found["seal contact"].verdict is not Verdict.GOOD
    parallel = {**fit, "port": {"thread": "M10x1"}, "seals": ["compound"]}
    assert of_fit(fitted({"thread": "M10x1"}, parallel))["seal"].verdict is Verdict.STOP


def test_that_the_same_canister_is_judged_alike_straight_in_and_behind_a_bush() -> None:
    heavy = {"thread": "1/8-27 NPT", "body_mass_grams": 485.0, "body_length": "80 mm"}
    verdicts = {
        port: of_fit(fitted(heavy, {"port": {"thread": port}}))["overhang"].verdict.value
        for port in ("1/8-27 NPT", "1/2-14 NPT", "M18x1.5", "M10x1")
    }
    assert set(verdicts.values()) == {"stop"}


def test_that_a_hose_breaks_a_body_return_and_a_lead_mends_it() -> None:
    fitting = {"thread": "1/8-27 NPT", "terminals": 1}
    fit: Raw = {"port": {"thread": "1/8-27 NPT"}, "through": "hose", "isolated": "no"}
    broken = of_fit(fitted(fitting, fit))
    assert broken["remote"].verdict is Verdict.STOP
    assert broken["fit earth"].verdict is Verdict.STOP
    assert broken["seal contact"].verdict is Verdict.STOP
    mended = of_fit(fitted(fitting, {**fit, "earth_lead": "yes"}))
    assert mended["remote"].verdict is Verdict.CAUTION
    assert mended["seal contact"].verdict is Verdict.GOOD


def test_that_an_earth_that_was_measured_is_judged_once() -> None:
    wiring = {**EARTH_RETURN, "sender_earth": "0.1 Ω"}
    found = fitted(
        {"thread": "M10x1", "terminals": 1}, {"port": {"thread": "M10x1"}}, wiring=wiring
    )
    names = [check.name for check in found.checks]
    assert "earth" in names
    assert "fit earth" not in names


def test_that_a_chosen_chain_whose_joints_do_not_go_is_refused() -> None:
    fit = {"port": {"thread": "M10x1"}, "adapters": ["adapter-npt-1-8-g-1-8"]}
    found = fitted({"thread": "G 1/8"}, fit)
    stops = [check for check in found.checks if check.verdict is Verdict.STOP]
    assert [(check.name, check.says.key) for check in stops if check.name == "thread"] == [
        ("thread", "thread_fit.binds")
    ]
    assert found.fit.engaged is None


def test_that_a_doubtful_joint_of_a_chain_is_told_with_its_reason() -> None:
    # R in G: a taper male in a female that seals at its face.
    fit = {"port": {"thread": "M10x1"}, "adapters": ["adapter-m10-g-1-8"]}
    found = of_fit(fitted({"thread": "R 1/8"}, fit))
    assert found["thread"].verdict is Verdict.CAUTION
    assert "parallel male with a washer" in sentence(found["thread"])
    assert found["chain"].verdict is Verdict.CAUTION


def test_that_the_ohms_that_an_earth_may_have_move_the_needle_by_what_is_allowed() -> None:
    """A plain two-coil gauge: sender-path ohms add to the sender's, 184 Ω at the top.

    R + r of the dial's own law: the mark at 10 bar is met at 184 Ω, 0.5 bar is allowed.
    """
    made = decode(raw({"thread": "M10x1"}, {"port": {"thread": "M10x1"}}), Plan, "earth")
    ohms = allowed_ohms(made.pairings[0], made.duty)
    assert ohms is not None
    # Between 5 and 10 bar the dial wants 15.4 Ω a bar: 0.5 bar are 7.7 Ω there, 9.7 Ω below.
    assert 6.0 < ohms < 10.0


def test_that_the_exported_fit_names_pieces_and_seals_as_keys() -> None:
    data = exported(fitted({"thread": "1/8-27 NPT"}, {"port": {"thread": "M10x1"}}))["fit"]
    assert (data["port"], data["sender"], data["outcome"]) == ("m10x1", "npt-1-8", "binds")
    assert data["pieces"] == ["adapter-m10-npt-1-8"]
    assert data["seals"] == [None, None]
    assert exported(fitted())["fit"] is None


BAD: list[tuple[Raw, Raw, Raw, str]] = [
    ({}, {"port": {"thread": "M10"}}, {}, "thread.which_pitch"),
    ({}, {"adapters": ["a-bit-of-pipe"]}, {}, "fit.no_piece"),
    ({}, {"earth_drop": "-1 V"}, {}, "fit.drop"),
    ({}, {"panel": {"hole": "0 mm"}}, {}, "fitting.length"),
    ({"max_pressure": "10 bar", "proof_pressure": "5 bar"}, {}, {}, "pressure_rating.order"),
    ({"coldest": "90 °C", "hottest": "20 °C"}, {}, {}, "heat.order"),
    ({"switch": {"operates": "50 °C"}}, {}, {}, "switch.other_quantity"),
    ({"switch": {"operates": "1 bar", "leak": "0 Ω"}}, {}, {}, "switch.not_positive"),
    ({}, {"trial": {"at": "50 °C"}}, {}, "duty.wrong_quantity"),
    (
        {},
        {},
        {"warning": {"at": "1 bar", "side": "low", "normal": "0.5 bar"}},
        "duty.warning_order",
    ),
    ({}, {}, {"highest_pressure": "0 bar"}, "duty.no_pressure"),
    ({}, {}, {"highest_pressure": "1e12 bar"}, "fitting.too_much"),
    ({}, {}, {"highest_temperature": "-400 °C"}, "fitting.below_zero"),
    ({"hottest": "5000 °C"}, {}, {}, "fitting.too_hot"),
    ({}, {"port": {"depth": "95 m"}}, {}, "fitting.too_long"),
    ({}, {"adapter_thread": "95 m"}, {}, "fitting.too_long"),
    ({}, {"earth_current": "5000 A"}, {}, "fitting.too_much"),
    ({"switch": {"operates": "1e12 bar"}}, {}, {}, "fitting.too_much"),
    ({"thread": "1/8 NPTF"}, {}, {}, "thread.nptf"),
]


@pytest.mark.parametrize(("fitting", "fit", "duty", "key"), BAD, ids=[case[3] for case in BAD])
def test_that_what_cannot_be_is_refused_with_one_sentence(
    fitting: Raw, fit: Raw, duty: Raw, key: str
) -> None:
    with pytest.raises(UserError) as refused:
        fitted(fitting, fit, **duty)
    keys = [dict(one.values).get("problem", one) for one in refused.value.messages]
    assert [getattr(one, "key", None) for one in keys] == [key]


MALES = [one.designation for one in threads() if one.male is not None]
FEMALES = [one.designation for one in threads() if one.female is not None]


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(MALES), st.sampled_from(FEMALES), st.sampled_from(["none", "tee", "hose"]))
def test_that_any_pair_of_threads_is_judged_and_every_check_reads_as_a_sentence(
    male: str, female: str, through: str
) -> None:
    found = fitted({"thread": male}, {"port": {"thread": female}, "through": through})
    assert found.fit.direct is not None
    for check in found.checks:
        said = sentence(check)
        assert "{" not in said
        assert "nan" not in said.split()
        assert "∞" not in said
        assert "inf" not in said.split()
        assert "up to unknown" not in said
    if found.fit.chain is not None:
        assert all(joint.goes for joint in found.fit.chain.joints)
