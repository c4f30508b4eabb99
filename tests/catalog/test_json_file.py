"""Reading any JSON file: what the parser says of any text is a user's error or plain data."""

from __future__ import annotations

import contextlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import UserError
from catalog.json_file import DEEPEST, parse_json

leaves = st.none() | st.booleans() | st.integers() | st.text() | st.floats(allow_nan=False)
documents = st.recursive(
    leaves, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=20
)


@given(documents.filter(lambda found: "Infinity" not in json.dumps(found)))
def test_that_what_the_standard_writer_writes_is_read_back(document: object) -> None:
    assert parse_json(json.dumps(document), "any") == document


@given(st.text())
def test_that_no_text_whatever_ends_in_another_error(text: str) -> None:
    with contextlib.suppress(UserError):
        parse_json(text, "any")


def test_that_the_deepest_allowed_nesting_is_read() -> None:
    assert parse_json("[" * DEEPEST + "]" * DEEPEST, "any") is not None
    with pytest.raises(UserError, match=r"file\.too_deep"):
        parse_json("[" * (DEEPEST + 1) + "]" * (DEEPEST + 1), "any")
