"""Proofs of no as a user gets them: the pair, the numbers, the sentence and what would work."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume
from hypothesis import given as drawn
from hypothesis import strategies as st

from catalog.codec import decode, encode
from catalog.library import load_generic
from catalog.message import Message
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.quantities.show import NumberStyle
from retrofit.installation import PLACES, Place, TrimResistor
from retrofit.messages import Renderer
from retrofit.plan.document import Plan
from retrofit.plan.draft import Wish, draft
from retrofit.plan.proof import proof_of
from retrofit.plan.stages import needle_of
from retrofit.terminals import SourceOhms
from retrofit.trim.laws import Law, Targets
from retrofit.trim.proof import ProofOfNo, Surroundings, Turning, proof_of_no
from tests.retrofit.plan.plans import COILS, Raw, Rows, assessed, gauge, plan, sender

PLAIN = Renderer(NumberStyle(nbsp=False), strict=True)


def proof(
    source: Rows, dial: Rows, allowed: str = "5 %", movement: Raw | None = None, **fields: Any
) -> ProofOfNo | Message | None:
    """The proof for straight tables of a level sender and a two-mark dial."""
    made = {"kind": "ratio", "pull_off": "0 %"} if movement is None else movement
    earth = fields.pop("earth_return", "body")
    raw = plan(
        gauge(dial, movement=made),
        sender(source, shape="straight", earth_return=earth),
        allowed=allowed,
        **fields,
    )
    return assessed(raw).proof_of_no


def given(*args: Any, **fields: Any) -> ProofOfNo:
    found = proof(*args, **fields)
    assert isinstance(found, ProofOfNo)
    return found


def cures(found: ProofOfNo) -> set[str]:
    return {cure.key.removeprefix("law.cure.") for cure in found.cures}


def all_sentences(found: ProofOfNo) -> str:
    said = [found.says, *found.cures] + ([found.shifted] if found.shifted is not None else [])
    return "\n".join(PLAIN.sentence(one) for one in said)


BENT, STRAIGHT = 0.18, 1.05
"""How far a falling dial of two marks may bend, q (common practice, no source)."""


def falling(f: float, q: float, ends: tuple[float, float] = (240.0, 33.0)) -> float:
    """Ohms that a dial needs at the share f of its scale: f = q·s/(1 − s + q·s), solved for s."""
    return ends[0] + (ends[1] - ends[0]) * f / (f + q * (1.0 - f))


def test_that_a_span_too_short_is_said_with_both_numbers() -> None:
    """75–10 Ω on 240–33 Ω: what the least bent dial leaves of 207 Ω, a twentieth in from each end.

    At empty the most bent dial asks for the fewest ohms, at full the straightest for the most.
    """
    found = given({"0 %": "75 Ω", "100 %": "10 Ω"}, {"0 %": "240 Ω", "100 %": "33 Ω"})
    needs = falling(0.05, BENT) - falling(0.95, STRAIGHT)
    assert found.refusal.law is Law.SPAN
    assert found.refusal.needs == pytest.approx(needs)
    assert found.refusal.gives == pytest.approx(65.0)
    assert PLAIN.sentence(found.says) == (
        "Between 100.0 % and 0.0 % the dial needs at least 149.3 Ω of change and the sender gives "
        "65 Ω at most, whatever the two do between their known points; resistors only ever take "
        "away"
    )
    assert cures(found) == {"pull_up_unknown", "sender", "converter", "redraw"}


def test_that_c05_is_refused_at_empty_and_names_how_low_resistors_come() -> None:
    """Rising 40–250 Ω on 0–90 Ω, whose dial may bend by q from 0.78 to 1.55 (common practice).

    What has to be left at any other value keeps empty above what the dial takes there.
    """
    found = given({"0 %": "40 Ω", "100 %": "250 Ω"}, {"0 %": "0 Ω", "100 %": "90 Ω"})
    targets, other = found.refusal, 0.55
    assert targets.law is Law.CONDUCTANCE
    takes = 90.0 * 0.05 / (0.05 + 0.78 * 0.95)
    left = 90.0 * (other - 0.05) / (other - 0.05 + 1.55 * (1.0 - other + 0.05))
    gives = 1 / 40 - 1 / (40 + 210 * other)
    assert targets.gives == pytest.approx(gives)
    assert targets.needs == pytest.approx(1 / takes - 1 / left)
    assert targets.edge == pytest.approx(1.0 / (gives + 1 / left))
    assert PLAIN.sentence(found.says) == (
        "At 0.0 % the dial takes 5.689 Ω at most; but where 35.29 Ω or more have to be left for "
        "55.0 %, no resistors bring it below 21.32 Ω, whatever sender and dial do between their "
        "known points"
    )
    # A pull-up only widens ohms; it never brings the low end down.
    assert cures(found) == {"sender", "converter", "redraw"}


def test_that_ohms_which_nobody_measured_prove_nothing() -> None:
    """88–8 Ω, known at its ends, on a 73–23–10 Ω dial: straight it has no trim, bent it has one.

    88∥360 + 2.2 Ω is within 3 % where the sender gives 23 Ω at half (worked out by hand: 73.0 Ω
    at empty, 23.8 at half, 10.0 at full).
    """
    library = load_generic()
    dial = library.part("gauge-level-73-10-heater-5v")
    assert isinstance(dial, Gauge)
    ends, bent = {"0 %": "88 Ω", "100 %": "8 Ω"}, {"0 %": "88 Ω", "50 %": "23 Ω", "100 %": "8 Ω"}
    for rows, shape, law in ((ends, "unknown", None), (ends, "straight", Law.CONDUCTANCE)):
        raw = plan(encode(dial), sender(rows, shape=shape), allowed="5 %")
        found = assessed(raw).proof_of_no
        if law is None:
            assert isinstance(found, Message)
            assert found.key == "trims.unproven"
            assert "Measure the sender there" in PLAIN.sentence(found)
        else:
            assert isinstance(found, ProofOfNo)
            assert found.refusal.law is law
    assert (
        assessed(plan(encode(dial), sender(bent, shape="unknown"), allowed="5 %")).proof_of_no
        is None
    )


def test_that_c09_turns_round_and_names_no_live_feed_in_fuel() -> None:
    rows = {"0 %": "0 Ω", "100 %": "100 Ω"}, {"0 %": "450 Ω", "100 %": "100 Ω"}
    found = given(*rows, medium="petrol")
    assert found.refusal.law is Law.DIRECTION
    assert cures(found) == {"mirror", "no_live_feed", "sender", "converter", "redraw"}
    assert "fuel vapour" in all_sentences(found)
    # A tank of nobody knows what may hold fuel; water does not.
    assert "no_live_feed" in cures(given(*rows))
    assert "insulated" in cures(given(*rows, medium="fresh water", earth_return="insulated"))
    assert "if_insulated" in cures(given(*rows, medium="fresh water", earth_return="either"))
    earthed = cures(given(*rows, medium="fresh water"))
    assert not earthed & {"insulated", "if_insulated", "no_live_feed"}


def test_that_c11_a_contact_needs_a_changeover() -> None:
    """Open is right, 10 Ω wanted; closed to earth is low, 90 Ω wanted."""
    wants = np.array([10.0, 90.0])
    ohms = np.array([math.inf, 0.0])
    targets = Targets(np.array([1.0, 0.0]), ohms, wants, 0.9 * wants, 1.1 * wants)
    found = proof_of_no(targets, Surroundings(Kind.LEVEL, True, Turning.CONTACT, None, 14.4))
    assert found is not None
    assert found.refusal.law is Law.DIRECTION
    assert cures(found) == {"changeover", "sender"}
    assert "∞" in PLAIN.sentence(found.says)


def test_that_c13_adding_ohms_is_no_cure_for_a_span_too_short() -> None:
    rows = {"0 %": "0 Ω", "100 %": "25 Ω"}, {"0 %": "0 Ω", "100 %": "30 Ω"}
    found = given(*rows)
    assert found.refusal.law is Law.SPAN
    # The 30 Ω less a twentieth in from each end, on the rising dial that bends most either way.
    low = 30.0 * 0.05 / (0.05 + 0.78 * 0.95)
    high = 30.0 * 0.95 / (0.95 + 1.55 * 0.05)
    assert found.refusal.needs == pytest.approx(high - low)
    assert proof(*rows, allowed="10 %") is None


def test_that_c07_is_out_of_reach_but_a_pull_up_widens_it() -> None:
    """0 Ω full to 70 Ω empty on 3.5–107.5 Ω: twice the heater's ohms, factor 1.5 or so."""
    rows = {"0 %": "70 Ω", "100 %": "0 Ω"}, {"0 %": "107.5 Ω", "100 %": "3.5 Ω"}
    heater = {"kind": "heater", "heater": "80 Ω", "feed": "13.5 V"}
    found = given(
        *rows, movement=heater, medium="fresh water", wiring={"stabiliser": {"fitted": "no"}}
    )
    assert found.refusal.law is Law.SPAN
    assert found.pull_up is not None
    assert found.pull_up.kappa == pytest.approx(104.0 / 70.0)
    assert found.pull_up.ohm == pytest.approx(80.0 / (104.0 / 70.0 - 1.0))
    assert "pull_up" in cures(found)
    # 14.4 V over 80 Ω before, with the pull-up beside it after: the sender is 0 Ω at full.
    assert "180.0 mA" in all_sentences(found)
    in_fuel = given(
        *rows, movement=heater, medium="petrol", wiring={"stabiliser": {"fitted": "no"}}
    )
    assert "pull_up_fuel" in cures(in_fuel)


def test_that_on_a_ratio_gauge_a_pull_up_past_open_is_not_named() -> None:
    """κ = 3.4 on 90/110 Ω would leave 70 Ω beyond 110/2.4 Ω, past the place of an open lead."""
    rows = {"0 %": "70 Ω", "100 %": "10 Ω"}, {"0 %": "240 Ω", "100 %": "33 Ω"}
    found = given(*rows, movement={"kind": "ratio", **COILS}, medium="fresh water")
    up = found.pull_up
    assert up is None or up.open_beyond > 70.0
    if up is not None:
        seen = up.law(np.array([10.0, 70.0]))[0]
        assert 33.0 - 10.35 <= seen[0] <= 33.0 + 10.35
        assert seen[1] >= 240.0 - 10.35


def test_that_within_reach_there_is_no_proof() -> None:
    """88–8 Ω on 73–10 Ω, 0–190 Ω on 10–180 Ω."""
    assert proof({"0 %": "88 Ω", "100 %": "8 Ω"}, {"0 %": "73 Ω", "100 %": "10 Ω"}) is None
    assert proof({"0 %": "0 Ω", "100 %": "190 Ω"}, {"0 %": "10 Ω", "100 %": "180 Ω"}) is None


def catalogued(source: str, dial: str, allowed: Amount) -> ProofOfNo | Message | None:
    library = load_generic()
    one, other = library.part(source), library.part(dial)
    assert isinstance(one, Sender)
    assert isinstance(other, Gauge)
    made = draft(one, other, Wish(allowed=allowed))
    return proof_of(made.pairings[0], made.duty)


def test_that_a_steeper_thermistor_class_is_equally_steep_and_shifted() -> None:
    """481.53–36.51 Ω on 291.46–22.44 Ω: 1.596 to 1.652 times the ohms over 40–120 °C.

    The lower figure is doubted: scipy's monotone cubic in ln R gives 1.5951, at 76 °C.
    """
    library = load_generic()
    names = [
        (one, other)
        for one in library.senders
        for other in library.senders
        if one.curve is not None
        and other.curve is not None
        and one.quantity == other.quantity == "temperature"
        and np.allclose(one.curve.output(np.array([40.0])), 481.53)
        and np.allclose(other.curve.output(np.array([40.0])), 291.46)
    ]
    one, other = names[0]
    assert one.curve is not None
    assert other.curve is not None
    at = np.linspace(40.0, 120.0, 21)
    ohms, wants = one.curve.output(at), other.curve.output(at)
    exact = Targets(at, ohms, wants, wants, wants)
    least, most = exact.ratios()
    assert least == pytest.approx(1.596, abs=1.5e-3)
    assert most == pytest.approx(1.652, abs=5e-4)
    around = Surroundings(Kind.TEMPERATURE, False, Turning.EARTHED, None, 14.4)
    found = proof_of_no(exact, around)
    assert found is not None
    assert found.shifted is not None
    assert "1.595 to 1.652 times" in PLAIN.sentence(found.shifted)
    assert cures(found) >= {"sender", "converter", "redraw"}


def test_that_boxes_open_as_the_allowed_error_grows_and_the_proof_goes() -> None:
    """270 Ω across is the best of two E24 resistors, 13.6278 °C off: with 14 °C no proof."""
    names = {part.key for part in load_generic().senders}
    source = next(n for n in sorted(names) if _at(n, 40.0) == pytest.approx(481.53))
    dials = [
        part.key
        for part in load_generic().gauges
        if part.quantity == "temperature" and _dial(part) == pytest.approx(291.46)
    ]
    tight = catalogued(source, dials[0], Amount(2.0, "°C"))
    assert isinstance(tight, ProofOfNo)
    assert catalogued(source, dials[0], Amount(14.0, "°C")) is None


def _at(key: str, x: float) -> float:
    part = load_generic().part(key)
    assert isinstance(part, Sender)
    if part.curve is None or part.quantity != "temperature":
        return math.nan
    return float(part.curve.output(np.array([x]))[0])


def _dial(part: Gauge) -> float:
    curve = part.own_class
    return math.nan if curve is None else float(curve.output(np.array([40.0]))[0])


def test_that_the_earth_in_the_path_is_no_part_of_what_is_refused() -> None:
    """Ohms in the earth are there with and without a trim: the boxes are those of the path."""
    rows = {"0 %": "75 Ω", "100 %": "10 Ω"}, {"0 %": "240 Ω", "100 %": "33 Ω"}
    dry, wet = given(*rows), given(*rows, wiring={"sender_earth": "5 Ω"})
    assert wet.refusal.needs == pytest.approx(dry.refusal.needs, rel=1e-9)
    assert wet.refusal.gives == pytest.approx(dry.refusal.gives, rel=1e-9)


def test_that_without_an_allowed_error_or_a_reading_it_is_said_what_is_missing() -> None:
    rows = {"0 %": "75 Ω", "100 %": "10 Ω"}, {"0 %": "240 Ω", "100 %": "33 Ω"}
    found = assessed(plan(gauge(rows[1]), sender(rows[0]), allowed=None)).proof_of_no
    assert isinstance(found, Message)
    assert found.key == "check.mark.nothing_allowed"
    found = assessed(plan(gauge(rows[1]), sender(None, law={"kind": "active"}))).proof_of_no
    assert isinstance(found, Message)
    assert found.key == "reading.no_curve"


def test_that_every_sentence_of_a_proof_can_be_read() -> None:
    """Every law, every cure, with a source known and unknown, in fuel and not."""
    heater = SourceOhms(1.0, 100.0)
    said = set()
    for source in (heater, None):
        for fuel in (True, False):
            for turning in Turning:
                around = Surroundings(Kind.LEVEL, fuel, turning, source, 14.4)
                for ohms, wants in (
                    ([75.0, 10.0], [240.0, 33.0]),
                    ([70.0, 0.0], [107.5, 3.5]),
                    ([70.0, 20.0], [240.0, 33.0]),
                    ([40.0, 250.0], [0.0, 90.0]),
                    ([0.0, 100.0], [450.0, 100.0]),
                    ([800.0, 80.0], [80.0, 8.0]),
                ):
                    exact = np.array(wants)
                    targets = Targets(np.array([0.0, 1.0]), np.array(ohms), exact, exact, exact)
                    found = proof_of_no(targets, around)
                    assert found is not None
                    text = all_sentences(found)
                    assert "{" not in text
                    assert "nan" not in text
                    said |= cures(found) | {found.refusal.law.value}
    assert said >= {"pull_up", "pull_up_fuel", "no_pull_up", "pull_up_unknown", "mirror"}
    assert said >= {law.value for law in Law}


HEATERS = [{"kind": "heater", "heater": "80 Ω", "feed": "10 V"}, {"kind": "coil", "coil": "60 Ω"}]


@drawn(
    st.tuples(st.floats(1.0, 300.0), st.floats(1.0, 300.0)),
    st.tuples(st.floats(1.0, 300.0), st.floats(1.0, 300.0)),
    st.sampled_from([{"kind": "ratio", "pull_off": "0 %"}, *HEATERS]),
    st.sampled_from([0.0, 2.0]),
    st.lists(
        st.fixed_dictionaries(
            {place: st.floats(0.1, 5000.0) for place in PLACES if place != "pull-up"}
        ),
        min_size=8,
        max_size=8,
    ),
)
def test_that_no_trim_keeps_the_needle_right_where_there_is_a_proof(
    source: tuple[float, float],
    dial: tuple[float, float],
    movement: Raw,
    earth: float,
    trims: list[dict[Place, float]],
) -> None:
    """Random resistors through the whole circuit, also at a supply that the dial is not for."""
    assume(abs(source[0] - source[1]) > 1.0 and abs(dial[0] - dial[1]) > 1.0)
    rows = [{"0 %": f"{a!r} Ω", "100 %": f"{b!r} Ω"} for a, b in (source, dial)]
    wiring = {"stabiliser": {"fitted": "no"}, "sender_earth": f"{earth} Ω"}
    raw = plan(
        gauge(rows[1], movement=movement),
        sender(rows[0], shape="straight"),
        wiring=wiring,
        allowed="10 %",
    )
    made = decode(raw, Plan, "test")
    bare = made.pairings[0]
    if not isinstance(proof_of(bare, made.duty), ProofOfNo):
        return
    x = np.linspace(0.0, 1.0, 41)
    for ohms in trims:
        trim = tuple(TrimResistor(place, Amount(ohm, "Ω")) for place, ohm in ohms.items())
        needle = needle_of(replace(bare, trim=trim))
        assert not isinstance(needle, Message)
        assert np.max(np.abs(needle.continued(x)[0] - x)) > 0.1 * (1.0 - 1e-9)
