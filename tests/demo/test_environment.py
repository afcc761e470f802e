"""The environment of the project: made once, recognised afterwards, made anew when it was left half made.

These environments hold no packages, so that nothing is fetched; that packages arrive is shown by this very test run.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from demo import environment
from demo.environment import EnvironmentTrouble, is_ready, prepare, python_of

ROOT = Path(environment.ROOT)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> str:
    """An environment that was made to its end."""
    venv = str(tmp_path_factory.mktemp("made") / ".venv")
    prepare(venv, ["server"], [])
    return venv


def marker_of(venv: str) -> Path:
    """Where an environment says how far it got."""
    return Path(venv) / environment.MARKER


def test_a_new_environment_is_ready_and_its_python_runs(made: str):
    assert is_ready(made, ["server"])
    answer = subprocess.run(
        [python_of(made), "-c", "import sys; print(sys.prefix)"], capture_output=True, text=True
    )
    assert os.path.realpath(answer.stdout.strip()) == os.path.realpath(made)


def test_it_is_not_ready_for_more_than_it_was_made_for(made: str):
    assert not is_ready(made, ["server", "test"])


def test_a_ready_environment_is_left_as_it_is(made: str, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(environment, "run", lambda command: pytest.fail(f"ran {command}"))
    prepare(made, ["server"], [["a-package-that-must-not-be-fetched"]])


def test_one_that_was_left_half_made_is_made_anew(made: str, tmp_path: Path):
    venv = str(tmp_path / ".venv")
    (tmp_path / ".venv" / "lib").mkdir(parents=True)
    (tmp_path / ".venv" / "lib" / "half a package").write_text("")
    environment.write_marker(venv, "installing", ["server"])
    prepare(venv, ["server"], [])
    assert is_ready(venv, ["server"])
    assert not (tmp_path / ".venv" / "lib" / "half a package").exists()


def test_one_that_somebody_made_by_hand_is_taken_over_with_what_is_in_it(tmp_path: Path):
    venv = str(tmp_path / ".venv")
    subprocess.run([sys.executable, "-m", "venv", venv], check=True)
    (tmp_path / ".venv" / "kept").write_text("")
    prepare(venv, ["server"], [])
    assert is_ready(venv, ["server"])
    assert (tmp_path / ".venv" / "kept").exists()


def test_one_whose_python_is_gone_is_made_anew(made: str, tmp_path: Path):
    venv = str(tmp_path / ".venv")
    (tmp_path / ".venv" / "bin").mkdir(parents=True)
    (tmp_path / ".venv" / "bin" / "python").symlink_to("/nowhere/python3")
    prepare(venv, ["server"], [])
    assert is_ready(venv, ["server"])


@pytest.mark.parametrize("change", [{"state": "installing"}, {"root": "/elsewhere"}, {"project": "older"}])
def test_a_marker_that_tells_of_anything_else_is_not_ready(made: str, change: dict[str, str]):
    before = marker_of(made).read_text()
    marker_of(made).write_text(json.dumps({**json.loads(before), **change}))
    try:
        assert not is_ready(made, ["server"])
    finally:
        marker_of(made).write_text(before)
    assert is_ready(made, ["server"])


def test_a_python_that_cannot_make_an_environment_is_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    crippled = tmp_path / "python3.13"
    crippled.write_text('#!/bin/sh\nif [ "$1" = -c ]; then echo 3 13; else exit 1; fi\n')
    crippled.chmod(0o755)
    monkeypatch.setattr(environment, "candidate_pythons", lambda: iter([str(crippled), sys.executable]))
    venv = str(tmp_path / ".venv")
    prepare(venv, [], [])
    assert is_ready(venv, [])


def test_without_a_fitting_python_it_says_in_one_line_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setattr(environment, "candidate_pythons", lambda: iter(["/nowhere/python3"]))
    with pytest.raises(EnvironmentTrouble, match=r"needs Python 3\.11, 3\.12 or 3\.13") as trouble:
        prepare(str(tmp_path / ".venv"), [], [])
    assert "\n" not in str(trouble.value)
    assert not (tmp_path / ".venv").exists()


@pytest.fixture
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """pip asks an index on this machine, on a port where nothing listens."""
    settings = {
        "INDEX_URL": "http://127.0.0.1:9/",
        "RETRIES": "0",
        "CONFIG_FILE": os.devnull,
        "FIND_LINKS": "",
    }
    for name, value in settings.items():
        monkeypatch.setenv(f"PIP_{name}", value)


def test_without_a_network_it_says_so_and_the_next_run_starts_over(tmp_path: Path, no_network: None):
    venv = str(tmp_path / ".venv")
    with pytest.raises(EnvironmentTrouble, match="is there a network"):
        prepare(venv, ["server"], [["a-package-that-is-nowhere"]])
    assert not is_ready(venv, ["server"])
    assert not environment.is_worth_keeping(venv)


def test_one_that_was_ready_stays_so_when_more_cannot_be_fetched(made: str, no_network: None):
    with pytest.raises(EnvironmentTrouble, match="is there a network"):
        prepare(made, ["server", "test"], [["a-package-that-is-nowhere"]])
    assert is_ready(made, ["server"])


def test_the_settings_of_the_checks_do_not_change_what_is_installed(tmp_path, monkeypatch):
    digests = []
    for text in (
        '[project]\nname = "a"\n[tool.ruff]\nline-length = 1',
        '[project]\nname = "a"\n[tool.ruff]\n',
        '[project]\nname = "b"\n',
    ):
        (tmp_path / "pyproject.toml").write_text(text)
        monkeypatch.setattr(environment, "ROOT", str(tmp_path))
        digests.append(environment.project_digest())
    assert digests[0] == digests[1] != digests[2]


def test_what_is_only_welcome_is_left_out_where_it_cannot_be_installed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    asked = []

    def install(venv: str, arguments: list[str]) -> None:
        asked.append(arguments[-1].rpartition("[")[2])
        if "phone" in arguments[-1]:
            raise EnvironmentTrouble("No wheel fits this machine.")

    monkeypatch.setattr(environment, "install", install)
    venv = str(tmp_path / ".venv")
    environment.make_ready(venv, ["server"], ["phone"])
    assert asked == ["phone,server]", "server]"]
    assert is_ready(venv, ["server"]) and not is_ready(venv, ["phone"])
    assert "Going on without phone. No wheel fits this machine." in capsys.readouterr().err


def test_what_is_welcome_is_there_where_it_can_be_installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(environment, "install", lambda venv, arguments: None)
    venv = str(tmp_path / ".venv")
    environment.make_ready(venv, ["server"], ["phone"])
    assert is_ready(venv, ["server", "phone"])
