"""Where the phone keeps its data."""

from pathlib import Path

import pytest

from mobile.settings import DATA_VARIABLE, settings_for, usual_folder


def test_a_folder_given_wins_over_the_environment(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv(DATA_VARIABLE, str(tmp_path / "environment"))
    assert settings_for(tmp_path / "given").file == tmp_path / "given" / "phone.db"
    assert settings_for().file == tmp_path / "environment" / "phone.db"


def test_without_any_word_the_usual_place_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(DATA_VARIABLE, raising=False)
    assert settings_for().data == usual_folder()
    assert usual_folder().is_relative_to(Path.home())


def test_the_device_has_a_name_that_fits_a_message() -> None:
    assert 0 < len(settings_for().device_name) <= 60
