"""Every kind has a name that people use."""

from shared_models.records.kind_words import KIND_WORDS, kind_in_words
from shared_models.records.kinds import KINDS


def test_every_kind_has_a_name_and_no_name_is_left_over():
    assert set(KIND_WORDS) == set(KINDS)


def test_two_kinds_are_never_called_the_same():
    assert len(set(KIND_WORDS.values())) == len(KIND_WORDS)


def test_a_kind_of_a_newer_app_is_a_record_all_the_same():
    assert kind_in_words("hover_camera") == "record of a newer app"
