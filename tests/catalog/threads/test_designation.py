"""What a user types for a thread."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import BugError, UserError
from catalog.message import Message
from catalog.threads.designation import parse_thread
from catalog.threads.standards import thread, threads


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("1/8-27 NPT", "npt-1-8"),
        ("1/8 NPT", "npt-1-8"),
        ('1/8" npt', "npt-1-8"),
        ("NPT 1/8", "npt-1-8"),
        ("NPT1/8-27", "npt-1-8"),
        ("G 1/8", "g-1-8"),
        ("g1/8", "g-1-8"),
        ("G 1/8 A", "g-1-8-a"),
        ("G 1/8 B", "g-1-8"),
        ("1/8 BSPP", "g-1-8"),
        ("1/8-28 BSPT", "r-1-8"),
        ("R 1/8", "r-1-8"),
        ("Rc 1/8", "rc-1-8"),
        ("rp 1/4", "rp-1-4"),
        ("M10x1", "m10x1"),
        ("M10×1", "m10x1"),
        ("m10 x 1,0", "m10x1"),
        ("M 12 * 1.5", "m12x1.5"),
        ("M14x1.5-6g", "m14x1.5"),
        ("3/8-24 UNF", "unf-3-8-24"),
        ("3/8-24", "unf-3-8-24"),
        ("UNF 3/8-24", "unf-3-8-24"),
        ("3/8 UNC", "unc-3-8-16"),
    ],
)
def test_that_a_thread_is_found_however_it_is_typed(typed: str, key: str) -> None:
    assert parse_thread(typed).key == key


def test_that_a_female_taper_pipe_thread_is_rc() -> None:
    assert parse_thread("1/8 BSPT", "female").key == "rc-1-8"
    assert parse_thread("R 1/8", "female").key == "rc-1-8"


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("", "thread.unread"),
        ("left-handed", "thread.unread"),
        ("1/8", "thread.bare_size"),
        ("1/8 BSP", "thread.which_bsp"),
        ("M10", "thread.which_pitch"),
        ("M10x0.75", "thread.not_held"),
        ("M9x1", "thread.not_held"),
        ("5/8-20", "thread.not_held"),
        ("G 7/8", "thread.not_held"),
        ("1/8-28 NPT", "thread.not_held"),
        ("1/8 XYZ", "thread.unread"),
        ("G 1/8 NPT", "thread.unread"),
        ("M10x1" + " " * 50 + "x", "thread.unread"),
        ("1/8 NPTF", "thread.nptf"),
        ("1/8-27 NPTF", "thread.nptf"),
        ("PT 1/8", "thread.pt"),
        ("1/8 PF", "thread.pf"),
        ("M10x1 keg", "thread.taper_metric"),
        ("M10x1 taper", "thread.taper_metric"),
        ("M 14 x 1.5 K", "thread.taper_metric"),
    ],
)
def test_that_a_text_that_names_no_thread_is_refused_with_what_to_type(
    typed: str, key: str
) -> None:
    with pytest.raises(UserError) as caught:
        parse_thread(typed)
    assert [each.key for each in caught.value.messages] == [key]


def test_that_every_designation_names_its_own_thread() -> None:
    for each in threads():
        assert parse_thread(each.designation).key == each.key


def test_that_keys_are_unique_and_an_unknown_one_is_our_mistake() -> None:
    keys = [each.key for each in threads()]
    assert len(set(keys)) == len(keys)
    with pytest.raises(BugError, match="nowhere"):
        thread("nowhere")


LIKE_A_THREAD = st.text(alphabet="MGRcpNPTUF0123456789x/-. ", max_size=14)


@given(st.text(max_size=50) | LIKE_A_THREAD)
def test_that_any_text_names_a_thread_or_is_refused_with_one_sentence(typed: str) -> None:
    problems: tuple[Message, ...] = ()
    try:
        found = parse_thread(typed)
    except UserError as error:
        problems = error.messages
    assert len(problems) == 1 or found in threads() or found.key.endswith("-a")
