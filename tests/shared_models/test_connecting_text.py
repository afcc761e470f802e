"""The one text that a phone is connected with: written, sent about, read."""

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.connecting_text import (
    CODE_LENGTH,
    CODE_LETTERS,
    PIN_LENGTH,
    ConnectingText,
    is_connecting_text,
    pin_of,
    read_connecting_text,
)
from shared_models.errors import BadInputError

TOLD = ConnectingText("https://192.0.2.7:8745", "7KQF93XZABCDE", pin_of(b"a key"))


def test_a_pin_is_the_hash_of_the_key_in_letters_that_nobody_mistakes():
    digest = int.from_bytes(hashlib.sha256(b"a key").digest(), "big")
    back = 0
    for letter in pin_of(b"a key"):
        back = back * 32 + CODE_LETTERS.index(letter)
    assert back == digest and len(pin_of(b"a key")) == PIN_LENGTH


letters = st.text(CODE_LETTERS, min_size=CODE_LENGTH, max_size=CODE_LENGTH)
places = st.sampled_from(["192.0.2.7:8745", "[fd00::1]:8745", "orchard.example", "orchard.example:1/apple/y"])


@given(letters, st.binary(), places)
def test_what_is_written_is_read_again(code: str, key: bytes, place: str):
    told = ConnectingText(f"https://{place}", code, pin_of(key))
    assert is_connecting_text(told.text()) and " " not in told.text()
    assert read_connecting_text(told.text()) == told


@pytest.mark.parametrize(
    "change",
    [
        str.lower,
        str.upper,
        lambda text: f"\n  {text} \t",
        lambda text: text[:20] + "\n" + text[20:70] + "  " + text[70:],
        lambda text: text.replace("-", ""),
        lambda text: text.replace("0", "o").replace("1", "l"),
        lambda text: text + "/",
    ],
)
def test_breaks_case_hyphens_and_letters_that_look_alike_do_not_matter(change):
    read = read_connecting_text(change(TOLD.text()))
    assert (read.code, read.pin) == (TOLD.code, TOLD.pin)


@pytest.mark.parametrize("length", range(len("pomeward:"), len(TOLD.text()) - len("192.0.2.7:8745") + 1))
def test_half_a_text_is_not_taken(length: int):
    with pytest.raises(BadInputError, match="not whole"):
        read_connecting_text(TOLD.text()[:length])


@pytest.mark.parametrize(
    "text",
    [
        TOLD.text().replace("7KQF", "7KQU"),
        TOLD.text() + "?x=1",
        TOLD.text() + "#there",
        TOLD.text().replace("192", "ada:secret@192"),
        "https://192.0.2.7:8745",
        "",
    ],
)
def test_what_is_no_such_text_is_not_taken(text: str):
    with pytest.raises(BadInputError):
        read_connecting_text(text)


@pytest.mark.parametrize("text", ["https://orchard.example", "7KQF-93XZ-ABCDE", "", "pomeward.example"])
def test_an_address_or_a_code_is_no_such_text(text: str):
    assert not is_connecting_text(text)
