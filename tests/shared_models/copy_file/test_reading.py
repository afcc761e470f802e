"""A copy is read as it was written, and whatever is no good copy is told in a sentence before anything is taken from it."""

from __future__ import annotations

import io
import json
import tracemalloc
import warnings
from zipfile import ZIP_BZIP2, ZIP_DEFLATED, ZipFile, ZipInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.copy_file import reading
from shared_models.copy_file.manifest import ENTRIES, MANIFEST, MAX_LINE, MAX_MANIFEST
from shared_models.copy_file.reading import opened_copy
from shared_models.errors import BadInputError
from tests.shared_models.copy_file.archives import ABOUT, archive, good_copy, made_up, manifest_of
from tests.strategies import law

LINES = b'{"a":1}\n{"b":2}\n'


def lines_of(content: bytes) -> list[bytes]:
    """All lines of a copy, read to its end."""
    with opened_copy(io.BytesIO(content)) as copy:
        return list(copy.lines())


def told(content: bytes) -> str:
    """The sentence with which a file is refused."""
    with pytest.raises(BadInputError) as refused:
        lines_of(content)
    return str(refused.value)


def with_manifest(text: bytes, lines: bytes = LINES) -> bytes:
    """An archive with any text in place of the manifest."""
    return archive([(ENTRIES, lines), (MANIFEST, text)])


def test_what_was_written_is_read_line_by_line_as_often_as_asked() -> None:
    content = good_copy(["{}", '{"name":"Größe"}'])
    with opened_copy(io.BytesIO(content)) as copy:
        assert copy.manifest.entries == 2 and copy.manifest.of == ABOUT.of
        assert list(copy.lines()) == list(copy.lines()) == [b"{}", '{"name":"Größe"}'.encode()]


def test_what_is_made_up_here_is_read_too_so_that_only_the_changes_below_are_refused() -> None:
    assert lines_of(made_up(LINES)) == [b'{"a":1}', b'{"b":2}']
    assert lines_of(good_copy([])) == []
    assert lines_of(made_up(LINES, written_by="a later app")) == [b'{"a":1}', b'{"b":2}']


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"PK",
        b"no archive at all" * 100,
        with_manifest(b"{"),
        with_manifest(json.dumps(manifest_of(LINES) | {"entries": "two"}).encode()),
        with_manifest(json.dumps(manifest_of(LINES) | {"members": {}}).encode()),
        with_manifest(json.dumps(manifest_of(LINES) | {"made": None}).encode()),
        made_up(LINES, made="yesterday"),
        made_up(LINES, entries=3),
        with_manifest(json.dumps(manifest_of(LINES.replace(b"1", b"3"))).encode()),
        made_up(LINES[:-1]),  # the last line has no end
    ],
)
def test_a_damaged_copy_is_told_as_such(content: bytes) -> None:
    assert told(content).startswith("This copy is damaged or was cut off. Nothing was taken from it")


@pytest.mark.parametrize(
    "content",
    [
        archive([(ENTRIES, LINES)]),
        archive([(MANIFEST, b"{}")]),
        archive([]),
        with_manifest(b"[]"),
        with_manifest(b'{"format":"something else"}'),
        archive([("../" + ENTRIES, LINES), (MANIFEST, b"{}")]),
        archive([("/" + ENTRIES, LINES), (MANIFEST, b"{}")]),
        archive([(ENTRIES, LINES), (MANIFEST, b"{}"), ("picture.jpg", b"")]),
        archive([(f"{number}", b"") for number in range(1000)]),
    ],
)
def test_what_is_no_copy_is_told_as_such(content: bytes) -> None:
    assert told(content).startswith("This file is no copy of records that this app can take in.")


def test_links_and_members_that_are_locked_or_packed_in_another_way_are_refused() -> None:
    link = ZipInfo(ENTRIES)
    link.external_attr = 0o120777 << 16
    manifest = (MANIFEST, json.dumps(manifest_of(LINES)).encode())
    assert "no copy" in told(archive([(link, LINES), manifest]))
    other = ZipInfo(ENTRIES)
    other.compress_type = ZIP_BZIP2
    assert "no copy" in told(archive([(other, LINES), manifest]))
    locked = bytearray(made_up(LINES))
    at = locked.rindex(b"PK\x01\x02")
    locked[at + 8] |= 1
    assert "no copy" in told(bytes(locked))


def test_a_member_that_is_there_twice_is_refused() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        twice = archive(
            [(ENTRIES, LINES), (ENTRIES, LINES), (MANIFEST, json.dumps(manifest_of(LINES)).encode())]
        )
    assert "no copy" in told(twice)


def test_a_copy_of_a_newer_app_says_to_update() -> None:
    assert "written by a newer Pomeward" in told(made_up(LINES, version=2))


def test_what_would_fill_the_memory_is_refused_before_it_does(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "MAX_ENTRIES", 50_000)
    bombs = [b"x" * (16 << 20), b"\n" * 60_000]
    packed = [made_up(bomb) for bomb in bombs]
    del bombs
    tracemalloc.start()
    for content in packed:
        with opened_copy(io.BytesIO(content)) as copy, pytest.raises(BadInputError, match="more than a copy"):
            for _ in copy.lines():
                pass
    assert tracemalloc.get_traced_memory()[1] < 8 << 20
    tracemalloc.stop()


def test_a_line_as_long_as_can_be_is_read_and_a_longer_one_is_not() -> None:
    assert len(lines_of(made_up(b"x" * MAX_LINE + b"\n"))) == 1
    assert "more than a copy" in told(made_up(b"x" * (MAX_LINE + 1) + b"\n"))


def test_a_length_that_is_only_claimed_is_refused_without_reading(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "MAX_BYTES", len(LINES) - 1)
    assert "more than a copy" in told(made_up(LINES))
    assert "more than a copy" in told(with_manifest(b" " * (MAX_MANIFEST + 1)))


@law
@given(st.data())
def test_a_copy_with_a_part_missing_is_never_taken_for_whole(data: st.DataObject) -> None:
    content = good_copy([f'{{"number":{number}}}' for number in range(40)])
    begin = data.draw(st.integers(0, len(content) - 1))
    end = data.draw(st.integers(begin + 1, len(content)))
    with pytest.raises(BadInputError):
        lines_of(content[:begin] + content[end:])


@law
@given(st.data())
def test_a_copy_with_a_changed_byte_is_refused_or_gives_the_same_lines(data: st.DataObject) -> None:
    bodies = [f'{{"number":{number}}}' for number in range(40)]
    content = bytearray(good_copy(bodies))
    at = data.draw(st.integers(0, len(content) - 1))
    content[at] ^= data.draw(st.integers(1, 255))
    try:
        found = lines_of(bytes(content))
    except BadInputError:
        return
    assert found == [body.encode() for body in bodies]


def test_it_can_be_opened_by_any_program_that_opens_such_archives() -> None:
    with ZipFile(io.BytesIO(good_copy(["{}"]))) as opened:
        assert opened.testzip() is None and {one.compress_type for one in opened.infolist()} == {ZIP_DEFLATED}
        assert opened.read(ENTRIES) == b"{}\n"
