"""The steps of the check, in order, and the table at the end; knows how to start each tool, not what it looks for."""

from __future__ import annotations

import argparse
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from demo.environment import EnvironmentTrouble
from tests.phone_set import phone_set_python
from tests.system_packages import SystemPackagesMissing, install_missing

ROOT = Path(__file__).resolve().parent.parent
OWN_STEP = ("tests/browser", "tests/window", "tests/documentation")  # not part of the step `tests`
NOT_ON_A_PHONE = "not needs_scipy and not needs_server and not needs_postgres"

Command = list[str]


@dataclass(frozen=True)
class Step:
    """One named part of the check."""

    name: str
    says: str
    command: Callable[[Sequence[str]], Command]
    tests: tuple[str, ...] = ()
    leaves_out: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()

    def covers(self, folder: str) -> bool:
        """Whether pytest collects this folder of tests in this step."""
        return _within(folder, self.tests) and not _within(folder, self.leaves_out)


@dataclass(frozen=True)
class Outcome:
    """How a step ended."""

    step: Step
    exit_code: int
    seconds: float


def _within(folder: str, parents: Sequence[str]) -> bool:
    return any(folder == parent or folder.startswith(parent + "/") for parent in parents)


def _module(*arguments: str) -> Callable[[Sequence[str]], Command]:
    return lambda extra: [sys.executable, "-m", *arguments]


def _pytest(*arguments: str) -> Callable[[Sequence[str]], Command]:
    return lambda extra: [sys.executable, "-m", "pytest", *arguments, *extra]


def _lint_imports(extra: Sequence[str]) -> Command:
    return [str(Path(sys.executable).with_name("lint-imports")), "--no-logo"]


def _phone_set(extra: Sequence[str]) -> Command:
    return [phone_set_python(), "-m", "pytest", "-n", "auto", "-m", NOT_ON_A_PHONE, *PHONE_SET_TESTS, *extra]


def _demo(extra: Sequence[str]) -> Command:
    """The command of the README, with the Python that a reader's shell would take."""
    return [shutil.which("python3") or sys.executable, "demo/run.py", "--once"]


PHONE_SET_TESTS = ("tests/shared_models", "tests/mobile", "shared_models")

STEPS = (
    Step("format", "ruff: every file laid out alike", _module("ruff", "format", "--check", ".")),
    Step("lint", "ruff: likely mistakes", _module("ruff", "check", ".")),
    Step("types", "mypy: types, strictly", _module("mypy")),
    Step("contracts", "import-linter: who may import whom", _lint_imports),
    Step(
        "tests",
        "pytest: everything without a window or a browser, on SQLite and PostgreSQL",
        _pytest(
            "-n",
            "auto",
            "--dist",
            "loadgroup",
            "tests",
            "shared_models",
            *(f"--ignore={folder}" for folder in OWN_STEP),
        ),
        tests=("tests", "shared_models"),
        leaves_out=OWN_STEP,
        needs=("PostgreSQL",),
    ),
    Step(
        "phone-set",
        "pytest: the phone's code with exactly the packages that a phone can have",
        _phone_set,
        tests=PHONE_SET_TESTS,
    ),
    Step(
        "browser",
        "pytest: the pages in a real Chromium",
        _pytest("tests/browser"),
        tests=("tests/browser",),
        needs=("Chromium", "PostgreSQL"),
    ),
    Step(
        "window",
        "pytest: the screens in a real window, drawn off screen",
        _pytest("-n", "auto", "--dist", "worksteal", "--timeout", "300", "tests/window"),
        tests=("tests/window",),
        needs=("Mesa OpenGL",),
    ),
    Step("demo", "python3 demo/run.py --once, as in the README", _demo),
    Step(
        "documentation",
        "pytest: what README and DEVELOPERS say is so",
        _pytest("tests/documentation"),
        tests=("tests/documentation",),
    ),
)


def main(arguments: Sequence[str]) -> int:
    """Run the chosen steps, all of them even after one has failed; 0 when all passed."""
    asked = read_command_line(arguments)
    if asked.list:
        print(*(f"{step.name:14} {step.says}" for step in STEPS), sep="\n")
        return 0
    steps = [
        step
        for step in STEPS
        if (not asked.only or step.name in asked.only) and step.name not in asked.without
    ]
    try:
        install_missing({need for step in steps for need in step.needs})
    except SystemPackagesMissing as missing:
        print(missing, file=sys.stderr)
        return 2
    outcomes = [run_step(step, asked.pytest_arguments) for step in steps]
    print(summary(outcomes), flush=True)
    return 1 if any(outcome.exit_code for outcome in outcomes) else 0


def read_command_line(arguments: Sequence[str]) -> argparse.Namespace:
    """What is asked for; everything after `--` goes to pytest as it is."""
    own, _, rest = (list(part) for part in _partition(arguments))
    names = [step.name for step in STEPS]
    parser = argparse.ArgumentParser(prog="tests/run.py", description="Check everything, or the steps named.")
    parser.add_argument(
        "--only", nargs="+", default=[], choices=names, metavar="NAME", help="run these steps"
    )
    parser.add_argument(
        "--without", nargs="+", default=[], choices=names, metavar="NAME", help="leave these out"
    )
    parser.add_argument("--list", action="store_true", help="name the steps and end")
    parser.epilog = "What follows after -- goes to pytest, for example: --only tests -- -k fold"
    asked = parser.parse_args(own)
    asked.pytest_arguments = rest
    return asked


def _partition(arguments: Sequence[str]) -> tuple[Sequence[str], Sequence[str], Sequence[str]]:
    at = list(arguments).index("--") if "--" in arguments else len(arguments)
    return arguments[:at], arguments[at : at + 1], arguments[at + 1 :]


def run_step(step: Step, pytest_arguments: Sequence[str]) -> Outcome:
    """Run one step to its end, its output straight to the screen."""
    print(f"\n=== {step.name}: {step.says}", flush=True)
    began = time.monotonic()
    try:
        exit_code = subprocess.run(step.command(pytest_arguments), cwd=ROOT, check=False).returncode
    except (EnvironmentTrouble, OSError) as trouble:
        print(trouble, flush=True)
        exit_code = 2
    return Outcome(step, exit_code, time.monotonic() - began)


def summary(outcomes: Sequence[Outcome]) -> str:
    """The table at the end: step, how it ended, how long it took."""
    rows = [
        f"{outcome.step.name:14} {'passed' if outcome.exit_code == 0 else 'FAILED':8} {outcome.seconds:7.1f} s"
        for outcome in outcomes
    ]
    total = sum(outcome.seconds for outcome in outcomes)
    left_out = [step.name for step in STEPS if step.name not in {outcome.step.name for outcome in outcomes}]
    notes = [f"left out as asked: {', '.join(left_out)}"] if left_out else []
    return "\n".join(["", "=== summary", *rows, f"{'in all':23} {total:7.1f} s", *notes])
