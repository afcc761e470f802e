"""What lies in the house: rooms with a name, modules that say what they are for and can be read in one sitting."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.house.forbidden_words import forbidden_in
from tests.house.tracked_files import ROOT, text_of, tracked_files, tracked_modules

TOP_LEVEL = {
    ".ci", ".gitignore", "DEVELOPERS.md", "README.md", "demo", "mobile", "pyproject.toml", "server", "shared_models",
    "tests",
}  # fmt: skip
DRAWERS = {"utils", "util", "helpers", "helper", "common", "manager", "managers", "misc", "core", "base"}
LONGEST_MODULE = 400  # lines; a longer one is more than a reader takes in at once


def broken(rule_holds, paths) -> list[str]:
    """The paths for which a rule does not hold."""
    return [str(path) for path in paths if not rule_holds(path)]


def starts_with_a_docstring(path: Path) -> bool:
    """Whether the first statement of a module says what it is for."""
    return bool(ast.get_docstring(ast.parse(text_of(path))))


def holds_one_docstring_only(path: Path) -> bool:
    """Whether a package file is free of code."""
    return len(ast.parse(text_of(path)).body) == 1


def is_short_enough(path: Path) -> bool:
    """Whether a module can be read in one sitting."""
    return len(text_of(path).splitlines()) <= LONGEST_MODULE


def test_the_top_level_holds_only_what_belongs_there():
    assert {path.parts[0] for path in tracked_files()} <= TOP_LEVEL


def test_every_module_starts_by_saying_what_it_is_for():
    assert broken(starts_with_a_docstring, tracked_modules()) == []


def test_a_package_file_holds_one_docstring_and_no_code():
    packages = [path for path in tracked_modules() if path.name == "__init__.py"]
    assert broken(holds_one_docstring_only, packages) == []


def test_no_module_is_longer_than_one_sitting():
    assert broken(is_short_enough, tracked_modules()) == []


def test_no_module_is_a_drawer_for_everything():
    assert broken(lambda path: path.stem not in DRAWERS, tracked_modules()) == []


def test_every_folder_with_modules_is_a_package():
    folders = {path.parent for path in tracked_modules() if path.parent != Path()}
    assert broken(lambda folder: (ROOT / folder / "__init__.py").exists(), sorted(folders)) == []


def test_no_file_speaks_of_anything_but_the_project():
    found = {str(path): forbidden_in(f"{path}\n{text_of(path)}") for path in tracked_files()}
    assert {path: words for path, words in found.items() if words} == {}


@pytest.mark.parametrize(
    "text", ["see /wo" + "rk/main", "mirrored at PyPI" + ".org", "asked an A" + "I", "as of issue" + " 12"]
)
def test_the_search_for_forbidden_words_finds_one(text: str):
    assert len(forbidden_in(text)) == 1


@pytest.mark.parametrize("text", ["the database session", "rain and hail", "a.i. of the spray", "any issue"])
def test_the_search_for_forbidden_words_leaves_plain_words_alone(text: str):
    assert forbidden_in(text) == []
