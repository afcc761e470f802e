"""The files that belong to the project, as git lists them."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@cache
def tracked_files() -> tuple[Path, ...]:
    """Every file that git keeps and that is there, relative to the root."""
    answer = subprocess.run(
        ["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    paths = (Path(name) for name in answer.stdout.split("\0") if name)
    return tuple(sorted(path for path in paths if (ROOT / path).is_file()))


def tracked_modules() -> tuple[Path, ...]:
    """The Python files among them."""
    return tuple(path for path in tracked_files() if path.suffix == ".py")


def text_of(path: Path) -> str:
    """What is in a file; empty for pictures, fonts and the like."""
    try:
        return (ROOT / path).read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return ""
