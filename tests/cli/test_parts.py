"""``retrofit parts``: the catalogue as a list, and one part whole."""

from __future__ import annotations

import pytest

from catalog.library import load_generic
from tests.cli.prompt import Prompt

LIBRARY = load_generic()
KEYS = [*(part.key for part in LIBRARY.senders), *(part.key for part in LIBRARY.gauges)]


def test_that_every_part_is_listed_with_its_name(prompt: Prompt) -> None:
    said = prompt("parts")
    listed = [line.split()[0] for line in said.out.splitlines() if line[:1].isalpha()]
    assert listed[1:] == KEYS
    joined = " ".join(said.out.split())
    assert all(" ".join(part.name.split()) in joined for part in LIBRARY.senders)


def test_that_words_and_options_narrow_the_list(prompt: Prompt) -> None:
    said = prompt("parts", "dual", "--quantity", "level")
    assert [k for k in KEYS if k in said.out] == ["level-120-16-dual"]
    gauges = prompt("parts", "--kind", "gauge", "--quantity", "pressure").out
    keys = [line.split()[0] for line in gauges.splitlines() if line.startswith("gauge-")]
    assert keys == [part.key for part in LIBRARY.gauges if part.quantity == "pressure"]


def test_that_words_that_fit_nothing_are_told(prompt: Prompt) -> None:
    said = prompt("parts", "zeppelin")
    assert (said.code, said.out) == (1, "")
    assert "zeppelin" in said.joined


@pytest.mark.parametrize("key", KEYS)
def test_that_every_part_can_be_shown_whole(key: str, prompt: Prompt) -> None:
    said = prompt("parts", key)
    assert (said.code, said.err) == (0, "")
    assert key in said.out
    assert " ".join(LIBRARY.part(key).notes.split()) in " ".join(said.out.split())


def test_that_each_point_says_where_it_comes_from(prompt: Prompt) -> None:
    text = prompt("parts", "pressure-10bar-10-184").out
    row = {line.split()[0]: line for line in text.splitlines() if " bar " in line}
    assert "124 Ω" in row["6"]
    assert row["6"].endswith("from memory")
    assert row["10"].endswith("common practice")
    assert "± 5 Ω" in text


def test_that_a_tolerance_nobody_knows_is_called_unknown(prompt: Prompt) -> None:
    text = prompt("parts", "level-240-33-mid-103").out
    assert any(line.split() == ["tolerance", "unknown"] for line in text.splitlines())


def test_that_a_formula_s_values_are_said_to_be_computed(prompt: Prompt) -> None:
    text = prompt("parts", "temperature-platinum-100").out
    assert "computed" in text


def keys_listed(out: str) -> list[str]:
    return [line.split()[0] for line in out.splitlines()[1:] if line[:1].isalpha()]


def test_that_a_word_of_direction_asks_how_a_part_runs_and_not_what_its_notes_say(
    prompt: Prompt,
) -> None:
    rising = keys_listed(prompt("parts", "rising", "--quantity", "level").out)
    falling = keys_listed(prompt("parts", "falling", "--quantity", "level").out)
    # Its notes call it the twin of a rising class; those of the 40 to 250 Ω class say nothing.
    assert "level-70-0" in falling
    assert "level-40-250" in rising
    assert not set(rising) & set(falling)
    told = [part for part in LIBRARY.senders if part.quantity == "level" and part.curve is not None]
    assert {part.key for part in told if part.curve and part.curve.rising} <= set(rising)
    assert {part.key for part in told if part.curve and not part.curve.rising} <= set(falling)


def test_that_ohms_find_every_part_that_is_known_to_give_or_need_them(prompt: Prompt) -> None:
    # 103 Ω is the half of the 240 to 33 Ω class (common practice, no source), whose gauges are
    # drawn for it and do not say so in their names.
    found = keys_listed(prompt("parts", "103", "--quantity", "level").out)
    assert {"level-240-33-mid-103", "gauge-level-240-33-ratio-12v"} <= set(found)
    assert "level-10-180" not in found
    assert keys_listed(prompt("parts", "0-190").out) == [
        "level-0-190",
        "gauge-level-0-190-ratio-12v",
    ]
