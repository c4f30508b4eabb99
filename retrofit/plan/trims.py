"""Proposals for the trim of a pairing: the best there is with none to three resistors, judged.

The search (``retrofit.trim``) finds them; every number that is shown comes from the assessment
of the plan with that trim in it, or from the same question on the reading curve's own points.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.installation import PLACES, Place, TrimResistor
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.candidates import NEEDLE_CHECKS, Candidate, candidate_of
from retrofit.plan.checks.check import ROUNDING, Check, Verdict
from retrofit.plan.document import Duty, Pairing, Plan
from retrofit.plan.loads import loads_of
from retrofit.plan.proof import proof_of
from retrofit.plan.stages import POINTS as CURVE
from retrofit.plan.trim_question import question_of, refusal_of
from retrofit.plan.trim_wishes import TrimWishes, rated, sought
from retrofit.plan.trim_words import ohms_by_place, trim_words
from retrofit.trim.answer import Answer, Found, Trim, described
from retrofit.trim.power import Load, needed_rating
from retrofit.trim.proof import ProofOfNo
from retrofit.trim.question import Question
from retrofit.trim.search import Watch
from retrofit.trim.topologies import SERIES as IN_SERIES

_JUDGING = NEEDLE_CHECKS | {"wiper"}


@dataclass(frozen=True)
class Need:
    """What one resistor has to take.

    Attributes
    ----------
    place : str
        Where it sits.
    load : Load
        What it takes at worst.
    rating : float or None
        The customary rating that does at half of it [W]; None: none that is sold.
    """

    place: Place
    load: Load
    rating: float | None

    @property
    def says(self) -> Message:
        """What it takes, when, and which rating that needs, in a sentence."""
        watts, state = SiValue(self.load.watts, Kind.POWER), self.load.state
        if self.rating is None:
            return message("trims.power_beyond", watts=watts, state=state)
        rating = SiValue(self.rating, Kind.POWER)
        return message("trims.power", watts=watts, state=state, rating=rating)


@dataclass(frozen=True, eq=False)
class TrimCandidate:
    """A trim with all that would come of it.

    Attributes
    ----------
    trim : tuple of TrimResistor
        The resistors, rated for what they take.
    judged : Candidate
        Verdict, worst error and error curve, from the assessment.
    with_1, with_5 : float
        Worst error over the allowed one [1] with every resistor anywhere within 1 % and 5 %,
        stops ignored; NaN where nobody can tell.
    needs : tuple of Need, or Message
        What each resistor has to take; or why nobody can tell.
    """

    trim: tuple[TrimResistor, ...]
    judged: Candidate
    with_1: float
    with_5: float
    needs: tuple[Need, ...] | Message

    @property
    def count(self) -> int:
        """Number of resistors."""
        return len(self.trim)

    @property
    def ohms(self) -> dict[Place, float]:
        """Ohms [Ω] by place."""
        return ohms_by_place(self.trim)

    @property
    def words(self) -> Message:
        """The trim in words."""
        return trim_words(self.ohms)

    @property
    def within(self) -> bool:
        """Whether the needle stays within what is allowed, everywhere."""
        return self.judged.share <= ROUNDING and not self.judged.at_least

    @property
    def may_be_fitted(self) -> bool:
        """Whether it is good enough, and nothing forbids it."""
        return self.within and self.judged.verdict is not Verdict.STOP


@dataclass(frozen=True, eq=False)
class Proposal:
    """What is proposed for one pairing of a plan.

    Attributes
    ----------
    plan : Plan
        What it was worked out for.
    label : str
        The pairing.
    wishes : TrimWishes
        What was wanted.
    present : TrimCandidate
        The trim that is in the plan now.
    refused : Message or None
        Why nothing may be proposed, and what to do first.
    ladder : tuple of TrimCandidate or None
        The best with 0, 1, 2 … resistors; None where none keeps to the limits.
    lead : TrimCandidate or None
        The one to lead with.
    alternatives : tuple of TrimCandidate
        Others, best first; none of them stands in the ladder.
    says : tuple of Message
        The lead in a sentence, and what more resistors would buy.
    proof : ProofOfNo or None
        That no resistors in the sender's path can do it, and what can.
    question, answer : Question and Answer, or None
        What was asked and found, for a certificate.
    """

    plan: Plan
    label: str
    wishes: TrimWishes
    present: TrimCandidate
    refused: Message | None = None
    ladder: tuple[TrimCandidate | None, ...] = ()
    lead: TrimCandidate | None = None
    alternatives: tuple[TrimCandidate, ...] = ()
    says: tuple[Message, ...] = ()
    proof: ProofOfNo | None = None
    question: Question | None = field(default=None, repr=False)
    answer: Answer | None = field(default=None, repr=False)


def propose(
    plan: Plan, label: str, wishes: TrimWishes | None = None, watch: Watch | None = None
) -> Proposal:
    """Return the best trims of a pairing, each judged by the assessment itself.

    Parameters
    ----------
    plan : Plan
        The plan; it is not changed.
    label : str
        Which pairing.
    wishes : TrimWishes, optional
        What trims are wanted.
    watch : Watch, optional
        How the caller follows the search.

    Returns
    -------
    Proposal
        The same on every machine.

    Raises
    ------
    UserError
        When no pairing has that label; for an empty stock or a range that holds no value.
    CancelledError
        When the caller wished the search to end.

    Notes
    -----
    Tests: ``tests/retrofit/plan/test_trims.py``.
    """
    wishes = wishes or TrimWishes()
    pairing, duty = plan.pairing(label), plan.duty
    wishes.ohms()  # an empty stock is told before anything else
    present = judged_trim(plan, label, pairing.trim)
    question = question_of(pairing, duty, wishes.beyond, points=CURVE)
    refused = refusal_of(plan, label) or (question if isinstance(question, Message) else None)
    if refused is not None:
        return Proposal(plan, label, wishes, present, refused)
    assert not isinstance(question, Message)
    return _searched(Proposal(plan, label, wishes, present), question, watch)


def _searched(empty: Proposal, question: Question, watch: Watch | None) -> Proposal:
    """Return a proposal filled with what the search finds."""
    plan, label, wishes = empty.plan, empty.label, empty.wishes
    pairing, duty = plan.pairing(label), plan.duty
    question, answer = sought(question, pairing, duty, wishes, watch)
    proven = proof_of(pairing, duty)
    proof = proven if isinstance(proven, ProofOfNo) else None
    judge = _Judge(plan, label, wishes)
    ladder = tuple(None if found is None else judge.of(found) for found in answer.by_count)
    lead = None if answer.lead is None else judge.of(answer.lead)
    others = tuple(judge.of(one) for one in answer.alternatives if one not in answer.by_count)
    found = replace(empty, ladder=ladder, lead=lead, alternatives=others, proof=proof)
    found = replace(found, question=question, answer=answer)
    short = lead is not None and not lead.within
    open_question = (proven,) if short and isinstance(proven, Message) else ()
    return replace(found, says=(*_says(found), *open_question, *_notes(found, question)))


class _Judge:
    """Judges found trims of one plan, each once."""

    def __init__(self, plan: Plan, label: str, wishes: TrimWishes) -> None:
        self._plan, self._label, self._wishes = plan, label, wishes
        self._kept: dict[Trim, TrimCandidate] = {}

    def of(self, found: Found) -> TrimCandidate:
        """Return a found trim, rated and judged."""
        if found.trim not in self._kept:
            trim = rated(self._plan, self._label, found.trim, self._wishes)
            self._kept[found.trim] = judged_trim(self._plan, self._label, trim)
        return self._kept[found.trim]


def with_trim(plan: Plan, label: str, trim: tuple[TrimResistor, ...]) -> Plan:
    """Return the plan with another trim in one pairing."""
    changed = tuple(replace(p, trim=trim) if p.label == label else p for p in plan.pairings)
    return replace(plan, pairings=changed)


def judged_trim(plan: Plan, label: str, trim: tuple[TrimResistor, ...]) -> TrimCandidate:
    """Return what would come of a trim in one pairing of a plan.

    Parameters
    ----------
    plan : Plan
        The plan; it is not changed.
    label : str
        Which pairing.
    trim : tuple of TrimResistor
        The trim.
    """
    pairing = plan.pairing(label)
    # The pairing itself where nothing changes, so that its stages are remembered.
    same = trim == pairing.trim
    found = assess(plan if same else with_trim(plan, label, trim), label)
    key = "; ".join(f"{one.place}={one.value}" for one in trim) or "none"
    judged = candidate_of(found, key, _telling(found))
    with_1, with_5 = _sensitivity(pairing, plan.duty, trim)
    return TrimCandidate(trim, judged, with_1, with_5, _needs(found))


def _telling(found: Assessment) -> Check:
    """Return the worst check that tells one trim from another; they come worst first.

    Currents count where they break a limit, and always where fuel is or may be; power where it
    is too much.
    """
    fuel = found.plan.duty.fuel != "no"
    marks = bool(found.plan.duty.marks)

    def tells(check: Check) -> bool:
        if check.name in ("current", "power"):
            bad = check.verdict in (Verdict.STOP, Verdict.CAUTION)
            return bad or (fuel and check.name == "current")
        return check.name in _JUDGING and (marks or check.name != "flatters")

    return next(check for check in found.checks if tells(check))


def _sensitivity(
    pairing: Pairing, duty: Duty, trim: tuple[TrimResistor, ...]
) -> tuple[float, float]:
    question = question_of(pairing, duty, points=CURVE)
    if isinstance(question, Message):
        return math.nan, math.nan
    there = ohms_by_place(trim)
    p, s1, q, s2, u = (
        there.get(place, 0.0 if column in IN_SERIES else math.inf)
        for column, place in enumerate(PLACES)
    )
    if "pull-up" in there and not question.node.pull_up:
        return math.nan, math.nan
    found = described(question, Trim((p, s1, q, s2, u)), 0.0)
    return found.with_1, found.with_5


def _needs(found: Assessment) -> tuple[Need, ...] | Message:
    loads = loads_of(found.pairing, found.plan.duty)
    if isinstance(loads, Message):
        return loads
    return tuple(
        Need(resistor.place, load, needed_rating(load.watts)) for resistor, load in loads.resistors
    )


# --- in a sentence ------------------------------------------------------------------------------


def _says(found: Proposal) -> tuple[Message, ...]:
    """Return the lead in a sentence, then what more resistors would buy."""
    lead = found.lead
    if lead is None:
        limited = found.plan.duty.original is not None
        return (message("trims.unreachable_limits" if limited else "trims.unreachable"),)
    worst, size = lead.judged.worst, _allowed_there(lead)
    told = message(
        f"trims.lead.{'held' if lead.judged.at_least else 'free'}", worst=worst, allowed=size
    )
    if not lead.trim:
        key = "trims.lead.bare" if lead.within else "trims.lead.bare_beyond"
        return (message(key, told=told), *_more(found))
    key = "trims.lead.good" if lead.within else "trims.lead.beyond"
    if lead.within and not lead.may_be_fitted:
        key = "trims.lead.stopped"
    before = found.ladder[0]
    bare = message("trims.before_off")
    if before is not None:
        bare = message("trims.before", worst=before.judged.worst)
    return (message(key, trim=lead.words, told=told, bare=bare), *_more(found))


def _allowed_there(lead: TrimCandidate) -> SiValue:
    """Return the allowed error where the needle errs most of it [SI difference]."""
    share, worst = lead.judged.share, lead.judged.worst
    if lead.judged.allowed is not None:
        return SiValue(lead.judged.allowed, worst.kind)
    return SiValue(worst.value / share if share > 0.0 else math.nan, worst.kind)


def _more(found: Proposal) -> tuple[Message, ...]:
    """Return that more resistors than the lead's buy nothing worth having, where that is so."""
    assert found.lead is not None
    more = [one for one in found.ladder[found.lead.count + 1 :] if one is not None]
    if not more:
        return ()
    best = min(more, key=lambda one: one.judged.share)
    key = "trims.more_no_better"
    if best.judged.share < found.lead.judged.share:
        key = "trims.more_in_noise"
    return (message(key, trim=best.words, worst=best.judged.worst),)


def _notes(found: Proposal, question: Question) -> tuple[Message, ...]:
    """Return what has to be known before the lead is fitted, or could not be looked at."""
    notes = []
    if found.wishes.pull_up and not question.node.pull_up:
        notes.append(message("trims.no_pull_up", why=message("power.measure_source")))
    if found.lead is not None and found.lead.trim and found.plan.duty.fuel == "yes":
        trimmed = assess(with_trim(found.plan, found.label, found.lead.trim), found.label)
        check = next(one for one in trimmed.checks if one.name == "current")
        if check.verdict is not Verdict.GOOD:
            notes.append(message("trims.in_fuel", says=check.says, why=check.why))
    elif found.lead is not None and found.lead.within and not found.lead.may_be_fitted:
        notes.append(found.lead.judged.says)
    return tuple(notes)
