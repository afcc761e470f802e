"""How the project starts: console scripts, and run scripts that an old Python can still read."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
import tomllib
from importlib.metadata import entry_points
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
STARTED_BY_ANY_PYTHON = (
    "demo/__init__.py",
    "demo/environment.py",
    "demo/run.py",
    "tests/__init__.py",
    "tests/run.py",
)


def test_the_two_console_scripts_are_declared_and_installed():
    declared = {"pomeward": "server.cli.command:main", "pomeward-phone": "mobile.__main__:main"}
    installed = {script.name: script.value for script in entry_points(group="console_scripts")}
    assert PROJECT["scripts"] == declared
    assert declared.items() <= installed.items()


@pytest.mark.parametrize("name", sorted(PROJECT["scripts"]))
def test_a_console_script_starts_and_explains_itself(name: str):
    script = Path(sys.executable).with_name(name)
    answer = subprocess.run([script, "--help"], capture_output=True, text=True, timeout=60, check=False)
    assert answer.returncode == 0, answer.stderr
    assert "usage" in answer.stdout.lower()


@pytest.mark.parametrize("path", STARTED_BY_ANY_PYTHON)
def test_python_3_8_can_read_what_starts_before_the_right_python_is_found(path: str):
    ast.parse((ROOT / path).read_text(encoding="utf-8"), filename=path, feature_version=(3, 8))


def test_the_check_script_can_be_executed_and_calls_the_readme_command():
    script = ROOT / ".ci" / "run"
    assert os.access(script, os.X_OK)
    assert 'exec python3 tests/run.py "$@"' in script.read_text(encoding="utf-8")
