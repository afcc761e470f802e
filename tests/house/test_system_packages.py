"""What is missing on a machine is named to the letter, and installed only where that is allowed."""

from __future__ import annotations

import pytest

from tests import system_packages
from tests.system_packages import (
    SYSTEM_PACKAGES,
    SystemPackage,
    SystemPackagesMissing,
    install_missing,
    missing_of,
)


@pytest.fixture
def one_missing(monkeypatch: pytest.MonkeyPatch) -> SystemPackage:
    """A package that this machine has not, and that comes with apt-get."""
    package = SystemPackage("Sundial", lambda: False, ("sundial", "libgnomon1"))
    monkeypatch.setattr(system_packages, "SYSTEM_PACKAGES", (*SYSTEM_PACKAGES, package))
    return package


@pytest.fixture
def apt_get_calls(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, ...]]:
    """What would have been asked of apt-get, which must not change the machine of whoever runs the tests."""
    calls: list[tuple[str, ...]] = []
    monkeypatch.setattr(system_packages, "_apt_get", lambda *arguments: calls.append(arguments))
    return calls


def test_what_the_step_of_this_test_needs_was_found_before_it_began():
    assert missing_of(["PostgreSQL"]) == []


def test_nothing_is_installed_when_nothing_is_missing(apt_get_calls):
    install_missing(["PostgreSQL"])
    assert apt_get_calls == []


def test_who_may_not_install_is_told_the_command(one_missing, apt_get_calls, monkeypatch):
    monkeypatch.setattr(system_packages, "_may_install", lambda: False)
    with pytest.raises(
        SystemPackagesMissing, match="install --yes --no-install-recommends sundial libgnomon1"
    ):
        install_missing(["Sundial", "PostgreSQL"])
    assert apt_get_calls == []


def test_root_on_debian_gets_it_installed_after_an_update(one_missing, apt_get_calls, monkeypatch):
    monkeypatch.setattr(system_packages, "_may_install", lambda: True)
    with pytest.raises(SystemPackagesMissing, match="Sundial"):  # nothing was really installed
        install_missing(["Sundial"])
    assert apt_get_calls == [
        ("update",),
        ("install", "--yes", "--no-install-recommends", "sundial", "libgnomon1"),
    ]


def test_what_no_chosen_step_needs_is_not_looked_for(one_missing, apt_get_calls):
    install_missing(["PostgreSQL"])
    assert apt_get_calls == []
