"""Identifiers against the layouts of RFC 9562."""

import time
import uuid

from hypothesis import given
from hypothesis import strategies as st

from shared_models.identifiers import derived_id, is_derived, is_identifier, new_id
from tests.strategies import law
from tests.values import identifiers

clock_values = st.integers(0, 2**48 - 1)


def test_the_worked_example_of_the_standard_comes_out(monkeypatch):
    # RFC 9562, appendix A.6: unix_ts_ms 017F22E279B0, rand_a CC3, rand_b 18C4DC0C0C07398F.
    chance = 0xCC3 << 62 | 0x18C4DC0C0C07398F
    monkeypatch.setattr("shared_models.identifiers.secrets.randbits", lambda bits: chance)
    assert new_id(0x017F22E279B0) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


@law
@given(clock_values)
def test_a_new_identifier_has_version_7_the_variant_and_its_clock(clock_ms):
    made = uuid.UUID(new_id(clock_ms))
    assert (made.version, made.variant) == (7, uuid.RFC_4122)
    assert made.int >> 80 == clock_ms
    assert str(made) == new_id(clock_ms)[:14] + str(made)[14:]


def test_identifiers_made_at_one_moment_differ():
    assert len({new_id(1_780_000_000_000) for _ in range(10_000)}) == 10_000


def test_every_bit_of_chance_is_used():
    # 74 bits of chance: over 400 identifiers a bit that is stuck shows with a probability above 1 - 74 * 2**-399.
    made = [uuid.UUID(new_id(0)).int for _ in range(400)]
    ever, always = 0, (1 << 128) - 1
    for one in made:
        ever, always = ever | one, always & one
    assert bin(ever & ~always).count("1") == 74


def test_without_a_clock_given_it_is_the_clock_of_the_machine():
    before = time.time_ns() // 1_000_000
    clock = uuid.UUID(new_id()).int >> 80
    assert before <= clock <= time.time_ns() // 1_000_000


def test_identifiers_of_later_milliseconds_sort_later():
    made = [new_id(ms) for ms in range(1_780_000_000_000, 1_780_000_000_000 + 2000)]
    assert made == sorted(made)


@law
@given(clock_values, st.lists(st.text(max_size=10), max_size=4))
def test_a_derived_identifier_depends_on_its_parts_alone(clock_ms, parts):
    made = uuid.UUID(derived_id(clock_ms, *parts))
    assert derived_id(clock_ms, *parts) == str(made)
    assert (made.version, made.variant, made.int >> 80) == (8, uuid.RFC_4122, clock_ms)
    assert derived_id(clock_ms, *parts, "another") != str(made)


def test_derived_identifiers_are_told_from_new_ones():
    assert is_derived(derived_id(1, "a")) and not is_derived(new_id(1))


def test_parts_do_not_run_into_each_other():
    assert derived_id(0, "ab", "c") != derived_id(0, "a", "bc")


@law
@given(identifiers())
def test_any_version_7_or_8_is_an_identifier(text):
    assert is_identifier(text)
    assert uuid.UUID(text).version in (7, 8)


def test_other_texts_are_no_identifiers():
    right = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    wrong = [right.upper(), right + "\n", right.replace("-", ""), right.replace("7cc3", "4cc3"), "", None, 7]
    wrong.append(right.replace("98c4", "c8c4"))
    assert [text for text in wrong if is_identifier(text)] == []
