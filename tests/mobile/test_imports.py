"""What starting the phone loads: only what a phone carries, and nothing that opens a file or a window."""

import subprocess
import sys
from pathlib import Path

import pytest

NOT_ON_A_PHONE = (
    "scipy",
    "numpy",
    "pandas",
    "matplotlib",
    "statsmodels",
    "fastapi",
    "starlette",
    "uvicorn",
    "kivy",
    "server",
)


@pytest.mark.parametrize("module", ["mobile", "mobile.bootstrap", "mobile.__main__"])
def test_starting_the_phone_loads_nothing_that_a_phone_does_not_carry(module: str) -> None:
    program = f"import sys, {module}; print(*sys.modules)"
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=root, capture_output=True, text=True, check=True
    )
    loaded = {name.split(".")[0] for name in done.stdout.split()}
    assert "mobile" in loaded and loaded.isdisjoint(NOT_ON_A_PHONE)
