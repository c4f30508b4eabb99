"""The generic stock: what an everyday box of fittings holds (common practice, no source)."""

from __future__ import annotations

import pytest

from catalog.fittings.adapters import adapters
from catalog.fittings.seals import joint_earths


@pytest.mark.parametrize("female", ["rc-1-8", "rc-1-4", "npt-1-8", "npt-1-4", "g-1-8", "m14x1.5"])
def test_that_more_than_one_piece_takes_each_usual_sender_thread(female: str) -> None:
    assert len([piece for piece in adapters() if piece.female.key == female]) > 1


def test_that_no_piece_is_bored_wider_than_its_threads_let_it() -> None:
    for piece in adapters():
        male, female = piece.male.male, piece.female.female
        assert male is not None
        assert female is not None
        # A millimetre of wall under the male's root, and the bore ends in the female's hole.
        assert piece.bore <= male.minor.low - 2e-3, piece.key
        assert piece.bore <= female.minor.low, piece.key


def test_that_names_say_both_ends() -> None:
    for piece in adapters():
        if piece.kind == "extension":
            continue
        ends = [piece.male.designation, piece.female.designation]
        short = [end.replace("-27 ", " ").replace("-18 ", " ").replace("-14 ", " ") for end in ends]
        assert all(a in piece.name or b in piece.name for a, b in zip(ends, short, strict=True))


def test_that_only_what_lies_in_the_flanks_may_insulate_and_a_hose_always_does() -> None:
    insulating = {kind for kind, joint in joint_earths().items() if joint.may_insulate}
    assert insulating == {"compound", "tape", "hose"}
