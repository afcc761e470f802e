"""Sentences with their values, in English and in another language."""

import gettext
import struct

import pytest

from shared_models import language
from shared_models.language import say, say_many, use_language


@pytest.fixture
def upside_down(tmp_path, monkeypatch):
    """A catalogue of an invented language."""
    spoken = {
        "": "Content-Type: text/plain; charset=UTF-8\nPlural-Forms: nplurals=2; plural=(n != 1);\n",
        "{count} bag\0{count} bags": "gab {count}\0sgab {count}",
        "Say {name}.": ".{name} yaS",
    }
    folder = tmp_path / "xx" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    (folder / "pomeward.mo").write_bytes(as_mo(spoken))
    monkeypatch.setattr(language, "LOCALE", tmp_path)
    yield "xx"
    language._catalogue = gettext.NullTranslations()


def as_mo(spoken):
    """The file format of gettext: a header, two tables of (length, place), then the texts."""
    pairs = sorted((key.encode(), value.encode()) for key, value in spoken.items())
    start = 28 + 16 * len(pairs)
    texts = b""
    tables: tuple[list[int], list[int]] = ([], [])
    for column, table in enumerate(tables):
        for pair in pairs:
            table += [len(pair[column]), start + len(texts)]
            texts += pair[column] + b"\0"
    numbers = [0x950412DE, 0, len(pairs), 28, 28 + 8 * len(pairs), 0, start, *tables[0], *tables[1]]
    return struct.pack(f"<{len(numbers)}I", *numbers) + texts


def test_a_sentence_is_spoken_with_its_values():
    assert say("“{field}” is missing; give it.", field="moths") == "“moths” is missing; give it."
    assert say("Braces {stay} without values.") == "Braces {stay} without values."


def test_the_count_chooses_one_or_many():
    assert [say_many("{count} bag", "{count} bags", n) for n in (0, 1, 2)] == ["0 bags", "1 bag", "2 bags"]


def test_another_language_is_spoken_where_its_file_is_there(upside_down):
    use_language(upside_down)
    assert say("Say {name}.", name="it") == ".it yaS"
    assert say_many("{count} bag", "{count} bags", 3) == "sgab 3"
    assert say("Nobody translated this.") == "Nobody translated this."


def test_a_language_without_a_file_is_english(upside_down):
    use_language(upside_down)
    use_language("yy")
    assert say("Say {name}.", name="it") == "Say it."
