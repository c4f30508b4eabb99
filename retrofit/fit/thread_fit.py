"""A male thread in a female one: what becomes of the pair within its limits, and why.

``retrofit.fit.thread_states`` works out one size; here three of them, none of which a part cannot
have: the largest male in the smallest female, both halfway between their limits, the smallest male
in the largest female.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from catalog.threads.thread import Size, Thread
from retrofit.fit.thread_states import (
    LEAST_OVERLAP,
    WRENCH_TURNS,
    Outcome,
    State,
    interference,
    needed_turns,
    parts,
    same_pitch,
    state_at,
)
from retrofit.fit.verdict import COMMON, COMPUTED, FitCheck, Verdict

SealKind = Literal["compound", "bonded washer", "crush washer", "O-ring face"]

COMPARED_TURNS = 5
"""Turns over which a pitch difference is told: what a thread gauge lies on."""

TIGHT: tuple[Size, Size] = ("high", "low")
MIDDLE: tuple[Size, Size] = ("middle", "middle")
LOOSE: tuple[Size, Size] = ("low", "high")


@dataclass(frozen=True)
class ThreadFit:
    """What becomes of one male in one female.

    Attributes
    ----------
    male, female : Thread
        The pair.
    outcome : str
        Of the pair: it goes only if it goes halfway between its limits and at both of them.
    tight, middle, loose : State
        Largest male in the smallest female; both halfway between their limits; smallest male in
        the largest female.
    needed_turns : float
        Turns by hand that a taper pair of this kind must reach at its limits; the rule's turns
        for a parallel pair.
    seals : tuple of str
        What can make the pair tight; empty where it does not go.
    pitch_difference : float
        Male less female [m].
    major_difference : float
        Major diameters, male at its gauge plane less female at its face [m].
    check : FitCheck
        The verdict with its reason.
    """

    male: Thread
    female: Thread
    outcome: Outcome
    tight: State
    middle: State
    loose: State
    needed_turns: float
    seals: tuple[SealKind, ...]
    pitch_difference: float
    major_difference: float
    check: FitCheck

    @property
    def goes(self) -> bool:
        """Whether it goes, alone or with a seal."""
        return self.outcome in ("goes", "goes with seal")

    @property
    def drift(self) -> float:
        """Pitch difference over `COMPARED_TURNS` turns [m]."""
        return COMPARED_TURNS * abs(self.pitch_difference)


def wedges_parallel(male: Thread, female: Thread) -> bool:
    """Return whether a taper male goes into a female that seals at its face (G of ISO 228-1).

    Rp of ISO 7-1 is parallel too, but made to take R and to seal in the thread.
    """
    return male.taper > 0.0 and female.series == "G"


def _joint_outcome(tight: State, middle: State, loose: State) -> Outcome:
    """Return the outcome of the pair; nobody knows where within its limits a part lies."""
    if middle.outcome in ("does not start", "drops through"):
        return middle.outcome
    all_of = {tight.outcome, middle.outcome, loose.outcome}
    if all_of & {"strips", "drops through"}:
        return "strips"
    return "binds" if all_of & {"binds", "does not start"} else middle.outcome


def _seals(outcome: Outcome) -> tuple[SealKind, ...]:
    if outcome == "goes with seal":
        return ("compound",)
    return ("bonded washer", "crush washer", "O-ring face") if outcome == "goes" else ()


def thread_fit(male: Thread, female: Thread) -> ThreadFit:
    """Return what becomes of a male thread in a female one.

    The formulae stand at the top of ``retrofit.fit.thread_states``.

    Parameters
    ----------
    male, female : Thread
        From ``catalog.threads``.

    Returns
    -------
    ThreadFit
        Lengths [m]; `depth` and `turns` are inf where nothing stops the male.

    Raises
    ------
    UserError
        Where the standard has no such male or female (a female R, a male Rc).

    Notes
    -----
    Tests: ``tests/retrofit/fit/test_thread_fit.py`` holds pairs of the standards' tables,
    ``test_profile.py`` measures the overlap of the drawn profiles.

    Examples
    --------
    >>> from catalog.threads.standards import thread
    >>> thread_fit(thread("npt-1-8"), thread("npt-1-8")).outcome
    'goes with seal'
    >>> thread_fit(thread("m10x1"), thread("npt-1-8")).outcome
    'binds'
    """
    inner, outer = parts(male, female)
    tight, middle, loose = (state_at(male, female, size) for size in (TIGHT, MIDDLE, LOOSE))
    outcome = _joint_outcome(tight, middle, loose)
    return ThreadFit(
        male=male,
        female=female,
        outcome=outcome,
        tight=tight,
        middle=middle,
        loose=loose,
        needed_turns=needed_turns(male, female),
        seals=_seals(outcome),
        pitch_difference=male.pitch - female.pitch,
        major_difference=male.at_gauge_plane(inner.major) - outer.major.basic,
        check=_Told(male, female, outcome, (tight, middle, loose)).check(),
    )


def _length(value: float) -> SiValue:
    return SiValue(value, Kind.LENGTH)


def _share(value: float) -> SiValue:
    return SiValue(value, Kind.FRACTION)


def _turns(state: State) -> float:
    return round(state.turns, 1)


def _and(first: Message, then: Message) -> Message:
    return message("words.both", first=first, then=then)


@dataclass(frozen=True)
class _Told:
    """Makes the verdict and the sentences of a pair."""

    male: Thread
    female: Thread
    outcome: Outcome
    states: tuple[State, State, State]

    def check(self) -> FitCheck:
        """Return the check of the pair."""
        if self.outcome == "goes":
            return self._goes()
        if self.outcome == "goes with seal":
            return self._seals_in_thread()
        if self.outcome == "drops through":
            return self._drops()
        if self.outcome == "strips":
            return self._strips()
        return self._binds() if self.outcome == "binds" else self._does_not_start()

    def _says(self, key: str, **values: Message | SiValue | float) -> Message:
        pair = {"male": self.male.designation, "female": self.female.designation}
        return message(f"thread_fit.{key}", **pair, **values)

    @property
    def _needed(self) -> SiValue:
        return _length(needed_turns(self.male, self.female) * self.female.pitch)

    def _goes(self) -> FitCheck:
        number = _length(self.states[1].clearance)
        why = message("thread_fit.why_face_seal")
        return FitCheck("thread", "good", self._says("goes"), why, number, field="thread")

    def _seals_in_thread(self) -> FitCheck:
        tight, middle, loose = self.states
        span = {"least": _turns(tight), "most": _turns(loose)}
        wedges = wedges_parallel(self.male, self.female)
        if wedges:
            why = message("thread_fit.why_wedges", **span)
        elif self.female.taper:
            why = message("thread_fit.why_compound", **span)
        else:
            why = message("thread_fit.why_parallel_female", **span)
        if middle.runs_out or loose.runs_out:
            asked = round(loose.turns + WRENCH_TURNS[0], 1)
            why = _and(why, message("thread_fit.runs_out", turns=asked))
        verdict: Verdict = "caution" if wedges or middle.runs_out or loose.runs_out else "good"
        says = self._says("goes_sealed", **span)
        number = _length(middle.depth)
        return FitCheck("thread", verdict, says, why, number, self._needed, COMPUTED, "thread")

    def _drops(self) -> FitCheck:
        tight, middle, loose = self.states
        gaps = {"least": _length(tight.passes), "most": _length(loose.passes)}
        says = self._says("drops" if tight.passes >= 0.0 else "drops_mostly", **gaps)
        why = message("thread_fit.why_drops")
        number, limit = _length(-middle.passes), _length(0.0)
        return FitCheck("thread", "stop", says, why, number, limit, COMPUTED, "thread")

    def _strips(self) -> FitCheck:
        tight, middle, loose = self.states
        if middle.outcome == "strips":
            says = self._says("strips")
            key = "thread_fit.why_strips"
        else:
            drops = loose.outcome == "drops through"
            key = "may_drop" if drops else "may_strip"
            says = self._says(key, least=_turns(tight), turns=_turns(middle))
            key = "thread_fit.why_shallow"
        least = _share(loose.overlap)
        why = message(key, least=least, most=_share(min(tight.overlap, 1.0)))
        limit = _share(LEAST_OVERLAP)
        return FitCheck("thread", "stop", says, why, least, limit, COMMON, "thread")

    def _binds(self) -> FitCheck:
        tight, middle, loose = self.states
        # Sound halfway, too tight at its limits: to be tried by hand, not refused.
        trial = middle.outcome.startswith("goes")
        key = "may_bind" if trial else "binds"
        says = self._says(key, least=_turns(tight), most=_turns(loose))
        why = self._why_binds()
        if not trial and self._feels_right():
            least, most = self._proper
            told = message("thread_fit.feel", least=round(least, 1), most=round(most, 1))
            why = _and(why, told)
        if loose.overlap < LEAST_OVERLAP:
            why = _and(why, message("thread_fit.also_shallow", share=_share(loose.overlap)))
        number = _length(middle.depth)
        verdict: Verdict = "caution" if trial else "stop"
        return FitCheck("thread", verdict, says, why, number, self._needed, COMPUTED, "thread")

    @property
    def _proper(self) -> tuple[float, float]:
        """Turns that the proper male of a taper female goes by hand within the limits."""
        turns = (self.female.gauge_length or 0.0) / self.female.pitch
        either = 2.0 * self.female.tolerance_turns
        return turns - either, turns + either

    def _feels_right(self) -> bool:
        return self.female.taper > 0.0 and self.states[1].turns >= self._proper[0]

    def _why_binds(self) -> Message:
        tight, middle, loose = self.states
        span = {"least": _turns(tight), "turns": _turns(middle), "most": _turns(loose)}
        if middle.outcome.startswith("goes"):
            if tight.outcome == "does not start":
                return message("thread_fit.why_may_not_start")
            return message("thread_fit.why_may_bind", least=_turns(tight))
        if not same_pitch(self.male, self.female):
            drift = _length(COMPARED_TURNS * abs(self.male.pitch - self.female.pitch))
            return message("thread_fit.why_pitch", drift=drift, **span)
        if self.male.form.flank_angle != self.female.form.flank_angle:
            return message(
                "thread_fit.why_angle",
                male=SiValue(self.male.form.flank_angle, Kind.ANGLE),
                female=SiValue(self.female.form.flank_angle, Kind.ANGLE),
                **span,
            )
        return message("thread_fit.why_short", **span)

    def _does_not_start(self) -> FitCheck:
        loose = self.states[2]
        over = interference(self.male, self.female, MIDDLE)
        most = interference(self.male, self.female, TIGHT)
        thick = {"over": _length(over), "most": _length(most)}
        if not _turns(loose):
            says = self._says("not_start")
            why = message("thread_fit.why_not_start", **thick)
        else:
            says = self._says("hardly_starts", turns=_turns(loose))
            why = message("thread_fit.why_hardly_starts", turns=_turns(loose), **thick)
        number, limit = _length(-over), _length(0.0)
        return FitCheck("thread", "stop", says, why, number, limit, COMPUTED, "thread")
