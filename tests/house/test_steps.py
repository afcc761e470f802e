"""The one test command: every folder of tests belongs to a step, and nothing is left out unasked."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests import steps
from tests.house.tracked_files import ROOT, tracked_modules
from tests.steps import STEPS, Outcome, Step, main, read_command_line, summary
from tests.system_packages import SYSTEM_PACKAGES


def test_every_folder_with_tests_is_run_by_a_step():
    folders = {path.parent.as_posix() for path in tracked_modules() if path.name.startswith("test_")}
    assert [folder for folder in sorted(folders) if not any(step.covers(folder) for step in STEPS)] == []


def test_a_folder_that_the_main_step_leaves_out_has_a_step_of_its_own():
    for folder in steps.OWN_STEP:
        assert [step.name for step in STEPS if step.covers(folder)] == [folder.rpartition("/")[2]]


def test_every_need_of_a_step_is_a_system_package_that_can_be_found_or_installed():
    known = {package.name for package in SYSTEM_PACKAGES}
    assert {need for step in STEPS for need in step.needs} <= known


def test_the_names_of_the_steps_are_listed_in_the_order_they_run():
    answer = subprocess.run(
        [sys.executable, "tests/run.py", "--list"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert [line.split()[0] for line in answer.stdout.splitlines()] == [step.name for step in STEPS]


def test_what_follows_two_dashes_goes_to_pytest():
    asked = read_command_line(["--only", "tests", "--", "-k", "fold", "--", "-x"])
    assert asked.only == ["tests"]
    assert asked.pytest_arguments == ["-k", "fold", "--", "-x"]


def test_an_unknown_step_is_refused_by_name(capsys):
    with pytest.raises(SystemExit):
        read_command_line(["--without", "tets"])
    assert "tets" in capsys.readouterr().err


def step_that_runs(name: str, program: str) -> Step:
    """A step of one line of Python."""
    return Step(name, "tried out", lambda extra: [sys.executable, "-c", program])


def test_the_check_goes_on_after_a_failing_step_and_fails_in_the_end(monkeypatch, capfd):
    monkeypatch.setattr(
        steps,
        "STEPS",
        (step_that_runs("first", "raise SystemExit(3)"), step_that_runs("second", "print('second ran')")),
    )
    assert main([]) == 1
    shown = capfd.readouterr().out
    assert "second ran" in shown
    assert ["first", "FAILED"] in [line.split()[:2] for line in shown.splitlines()]
    assert ["second", "passed"] in [line.split()[:2] for line in shown.splitlines()]


def test_the_check_passes_when_every_step_does(monkeypatch):
    monkeypatch.setattr(steps, "STEPS", (step_that_runs("only", "pass"),))
    assert main([]) == 0


def test_a_tool_that_cannot_start_fails_its_step(monkeypatch):
    monkeypatch.setattr(steps, "STEPS", (Step("only", "tried out", lambda extra: ["/nowhere/tool"]),))
    assert main([]) == 1


def test_steps_left_out_are_named_in_the_summary():
    table = summary([Outcome(STEPS[0], 0, 1.0)])
    assert "left out as asked" in table
    assert STEPS[1].name in table
