"""Which thread it is: from calliper diameters, pitch and taper, each with its measuring error.

A reading's error is normal; half its stated error (95 %) is its standard uncertainty (JCGM 100,
k = 2). Where a part lies between its limits nobody knows: a rectangle, whose (width)²/12 is added
to the variance about the middle of the limits. Wear, where it is said to be possible, only thins a
male's crests and opens a female's: then any size from the limits to `WORN` pitches beyond them on
that side is as likely, and the distance counts from there. On a taper thread a calliper may sit a
turn away from where it is meant to: a rectangle of one turn either way is added. Likelihoods of the
readings multiply; all threads are equally likely beforehand.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from catalog.threads.standards import threads
from catalog.threads.thread import Diameters, Gender, Thread
from retrofit.fit.thread_readings import CALLIPER, FITS, WORN, Measured, Reading, impossible

ANGLE_ERROR = math.radians(2.0)
"""Error of a flank angle judged with a profile gauge against the light, 95 % (assumed)."""

SEPARATES = 3.0
"""Standard deviations between two expected readings that tell two threads apart."""

COUNTED_TURNS = 5.0
"""Turns over which a pitch is measured."""

SHORTEST = 6e-3
"""Length of thread that every sender has [m] (common practice, no source)."""


@dataclass(frozen=True)
class Candidate:
    """One thread against the readings.

    Attributes
    ----------
    thread : Thread
        The thread.
    probability : float
        Share of the likelihood of all threads, 0 to 1.
    distances : tuple of (str, float)
        Each reading's distance from what it should be, in standard deviations.
    fits : bool
        Whether every reading agrees within `FITS`.
    """

    thread: Thread
    probability: float
    distances: tuple[tuple[str, float], ...]
    fits: bool


@dataclass(frozen=True)
class Separation:
    """The measurement that tells two threads apart.

    Attributes
    ----------
    first, second : Thread
        The two.
    measure : str
        "diameter", "pitch", "taper" or "angle"; "" where none of them tells.
    expected : pair of float
        What either would read [m; rad for an angle].
    deviations : float
        Distance of the two in standard deviations.
    says : Message
        What to measure.
    """

    first: Thread
    second: Thread
    measure: str
    expected: tuple[float, float]
    deviations: float
    says: Message


@dataclass(frozen=True)
class Identity:
    """What a thread may be.

    Attributes
    ----------
    candidates : tuple of Candidate
        Most likely first, all threads of that gender.
    fitting : tuple of Candidate
        Those that all readings agree with.
    look_alikes : tuple of Separation
        The best against each other thread that all readings agree with too, however unlikely.
    problems : tuple of Message
        Where nothing fits: which measurement to repeat, and what else would fit.
    """

    candidates: tuple[Candidate, ...]
    fitting: tuple[Candidate, ...]
    look_alikes: tuple[Separation, ...]
    problems: tuple[Message, ...]


def _crest(part: Diameters, gender: Gender, wear: float) -> tuple[float, float]:
    """Return the middle of the crest diameter within its limits and wear, and its variance."""
    span = part.major if gender == "male" else part.minor
    shift = -wear / 2.0 if gender == "male" else wear / 2.0
    return span.middle + shift, ((span.high - span.low) ** 2 + wear**2) / 12.0


def expected(
    thread: Thread, gender: Gender, along: float, *, worn: bool = False
) -> tuple[float, float]:
    """Return the crest diameter at a distance from tip or mouth, and its deviation [m].

    A male grows along its taper, a female shrinks. Worn crests lie lower by up to `WORN` pitches
    on diameter, the male's inwards and the female's outwards.
    """
    part = thread.part(gender)
    if part is None:
        return math.nan, math.nan
    middle, variance = _crest(part, gender, WORN * thread.pitch if worn else 0.0)
    slope = thread.taper if gender == "male" else -thread.taper
    placed = (thread.taper * thread.pitch) ** 2 / 3.0
    return middle + slope * along, math.sqrt(variance + placed)


def _distances(thread: Thread, read: Measured) -> list[tuple[str, float, float]]:
    """Return name, distance in deviations and deviation [m] of each reading."""
    found = []
    if read.diameter is not None and read.worn:
        found.append(_worn_distance(thread, read.gender, read.diameter))
    elif read.diameter is not None:
        at, spread = expected(thread, read.gender, 0.0)
        deviation = math.hypot(read.diameter.deviation, spread)
        found.append(("diameter", (read.diameter.value - at) / deviation, deviation))
    if read.diameter is not None and read.second is not None:
        # The difference of the two: what limits and place do to both falls out.
        slope = thread.taper if read.gender == "male" else -thread.taper
        deviation = math.hypot(read.diameter.deviation, read.second.deviation)
        grown = read.second.value - read.diameter.value
        found.append(("taper", (grown - slope * read.apart) / deviation, deviation))
    if read.pitch is not None:
        deviation = read.pitch.deviation
        found.append(("pitch", (read.pitch.value - thread.pitch) / deviation, deviation))
    return found


def _worn_distance(thread: Thread, gender: Gender, read: Reading) -> tuple[str, float, float]:
    """Return the diameter's distance beyond limits and wear, and the deviation of that width [m].

    Inside, every size is as likely: the density 1/width is that of a normal law's top with the
    deviation width/√(2π).
    """
    part = thread.part(gender)
    if part is None:
        return "diameter", math.nan, math.nan
    span = part.major if gender == "male" else part.minor
    wear = WORN * thread.pitch
    low, high = (span.low - wear, span.high) if gender == "male" else (span.low, span.high + wear)
    beyond = min(read.value - low, 0.0) + max(read.value - high, 0.0)
    unsure = math.hypot(read.deviation, thread.taper * thread.pitch / math.sqrt(3.0))
    return "diameter", beyond / unsure, max((high - low) / math.sqrt(2.0 * math.pi), unsure)


def _log_likelihood(distances: list[tuple[str, float, float]]) -> float:
    return sum(-z * z / 2.0 - math.log(deviation) for _, z, deviation in distances)


def _length(value: float) -> SiValue:
    return SiValue(value, Kind.LENGTH)


def identify(read: Measured) -> Identity:
    """Rank the threads that a part may have, and say what would settle it.

    Parameters
    ----------
    read : Measured
        At least a diameter or a pitch.

    Returns
    -------
    Identity
        `fitting` is empty where nothing agrees, and `problems` then say what to measure again.

    Raises
    ------
    UserError
        For readings that no thread can have, all of them at once: not above zero, a thread that
        is narrower where it must be wider, a taper beyond 1:8, a pitch beyond a third of the
        diameter.

    Notes
    -----
    Tests: ``tests/retrofit/fit/test_thread_identity.py``.

    Examples
    --------
    >>> from retrofit.fit.thread_readings import Reading, turns_per_inch
    >>> read = Measured("male", Reading(9.47e-3, CALLIPER), pitch=turns_per_inch(28))
    >>> identify(read).fitting[0].thread.designation
    'R 1/8'
    """
    problems = impossible(read)
    if problems:
        raise UserError(problems)
    found = [
        (thread, _distances(thread, read))
        for thread in threads()
        if thread.part(read.gender) is not None
    ]
    logs = [_log_likelihood(distances) for _, distances in found]
    most = max(logs)
    total = sum(math.exp(log - most) for log in logs)
    candidates = sorted(
        (
            Candidate(
                thread,
                math.exp(log - most) / total,
                tuple((name, z) for name, z, _ in distances),
                all(abs(z) <= FITS for _, z, _ in distances),
            )
            for (thread, distances), log in zip(found, logs, strict=True)
        ),
        key=lambda each: (-each.probability, _farthest(each)),
    )
    fitting = tuple(each for each in candidates if each.fits)
    return Identity(
        tuple(candidates),
        fitting,
        _look_alikes(fitting, read),
        () if fitting else (_nothing_fits(candidates, read), *_if_worn(read)),
    )


def _if_worn(read: Measured) -> tuple[Message, ...]:
    """Return what it would be with worn crests; empty where that is no way out either."""
    if read.worn or read.diameter is None:
        return ()
    found = identify(replace(read, worn=True)).fitting
    names = _list([each.thread for each in found])
    return (message("identity.if_worn", names=names),) if found else ()


def _farthest(candidate: Candidate) -> float:
    return max((abs(z) for _, z in candidate.distances), default=0.0)


def _look_alikes(fitting: tuple[Candidate, ...], read: Measured) -> tuple[Separation, ...]:
    if not fitting:
        return ()
    best, *others = fitting
    return tuple(
        separation(best.thread, other.thread, read.gender, worn=read.worn) for other in others
    )


def separation(first: Thread, second: Thread, gender: Gender, *, worn: bool = False) -> Separation:
    """Return the measurement that tells two threads apart best, with usual instruments.

    Parameters
    ----------
    first, second : Thread
        Two threads that have this gender.
    gender : "male" or "female"
        Which part is in the hand.
    worn : bool
        Whether its crests may be worn, which takes from what their diameter tells.

    Returns
    -------
    Separation
        The greatest distance in deviations of: crest diameter at the start, pitch over five turns,
        taper over the useful length, flank angle.
    """
    (one, spread_one), (two, spread_two) = (
        expected(first, gender, 0.0, worn=worn),
        expected(second, gender, 0.0, worn=worn),
    )
    sign = 1.0 if gender == "male" else -1.0
    lengths = [each.useful_length for each in (first, second) if each.useful_length]
    along = min(lengths, default=SHORTEST)
    options = [
        ("diameter", one, two, math.hypot(CALLIPER / 2.0, max(spread_one, spread_two))),
        (
            "pitch",
            COUNTED_TURNS * first.pitch,
            COUNTED_TURNS * second.pitch,
            math.hypot(CALLIPER / 2.0, CALLIPER / 2.0),
        ),
        (
            "taper",
            sign * first.taper * along,
            sign * second.taper * along,
            math.hypot(CALLIPER / 2.0, CALLIPER / 2.0),
        ),
        ("angle", first.form.flank_angle, second.form.flank_angle, ANGLE_ERROR / 2.0),
    ]
    name, low, high, deviation = max(options, key=lambda each: abs(each[1] - each[2]) / each[3])
    distance = abs(low - high) / deviation
    if distance < SEPARATES:
        says = message("identity.same", first=first.designation, second=second.designation)
        return Separation(first, second, "", (math.nan, math.nan), distance, says)
    kind = Kind.ANGLE if name == "angle" else Kind.LENGTH
    says = message(
        f"identity.by_{name}",
        first=first.designation,
        second=second.designation,
        low=SiValue(low, kind),
        high=SiValue(high, kind),
        along=_length(along),
        turns=COUNTED_TURNS,
    )
    return Separation(first, second, name, (low, high), distance, says)


def _agreeing(candidates: list[Candidate], name: str) -> list[Thread]:
    return [
        each.thread
        for each in candidates
        if any(which == name and abs(z) <= FITS for which, z in each.distances)
    ]


def _nothing_fits(candidates: list[Candidate], read: Measured) -> Message:
    """Return which measurement to repeat: the one that no thread agrees with, or all of them."""
    by_pitch = _agreeing(candidates, "pitch")
    by_diameter = _agreeing(candidates, "diameter")
    if read.pitch is not None and not by_pitch:
        nearest = min(candidates, key=lambda each: abs(dict(each.distances)["pitch"])).thread
        return message(
            "identity.no_such_pitch",
            pitch=_length(read.pitch.value),
            nearest=nearest.designation,
            at=_length(nearest.pitch),
        )
    if read.diameter is not None and not by_diameter:
        nearest = min(candidates, key=lambda each: abs(dict(each.distances)["diameter"])).thread
        return message(
            "identity.no_such_diameter",
            diameter=_length(read.diameter.value),
            nearest=nearest.designation,
        )
    both = {each.key for each in by_pitch} & {each.key for each in by_diameter}
    if read.pitch is not None and read.diameter is not None and not both:
        return message(
            "identity.measure_both",
            by_diameter=_list(by_diameter),
            by_pitch=_list(by_pitch),
        )
    return message("identity.no_such_taper")


def _list(found: list[Thread]) -> str:
    return ", ".join(sorted({each.designation for each in found}))
