"""What method a word means: a known one by key or name, else one of the group's own with a key that is always valid."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.score_table.method_words import method_key
from shared_models.vocabulary import METHODS
from tests.strategies import law

KEY = re.compile(r"[a-z][a-z0-9_]{0,39}")  # as records.fields.MethodKey asks


@pytest.mark.parametrize("method", METHODS.values(), ids=METHODS.keys())
def test_every_known_method_is_known_by_key_and_by_name_in_any_letters(method):
    for word in (method.key, method.name, method.name.upper(), f" {method.name} "):
        assert method_key(word) == method.key


@law
@given(st.text(min_size=1, max_size=60).filter(str.strip))
def test_every_word_has_a_valid_key_that_is_always_the_same(word):
    assert KEY.fullmatch(method_key(word))
    assert method_key(word.upper()) == method_key(word.upper().lower()) or not word.isascii()
    assert method_key(f"  {word} ") == method_key(word)


def test_words_without_plain_letters_and_long_ones_do_not_collide():
    words = ["大蒜", "艾草", "x" * 60, "x" * 59 + "y", "...", "+"]
    assert len({method_key(word) for word in words}) == len(words)
