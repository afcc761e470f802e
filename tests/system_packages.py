"""What the checks need beside Python packages: found, installed where this machine allows it, else named exactly."""

from __future__ import annotations

import ctypes.util
import glob
import os
import shutil
import subprocess
from collections.abc import Callable, Collection
from dataclasses import dataclass
from pathlib import Path


class SystemPackagesMissing(Exception):
    """Something is missing and could not be installed from here; the message says what to run."""


@dataclass(frozen=True)
class SystemPackage:
    """A program or library, how to see whether it is there, and Debian's packages for it."""

    name: str
    is_there: Callable[[], bool]
    debian: tuple[str, ...]


def postgres_binaries() -> Path | None:
    """The folder with initdb and postgres: the newest of Debian's, else the one on the PATH."""
    debian = [Path(found).parent for found in glob.glob("/usr/lib/postgresql/*/bin/initdb")]
    if debian:
        return max(debian, key=lambda folder: int(folder.parent.name))
    on_path = shutil.which("initdb")
    return Path(on_path).resolve().parent if on_path else None


def chromium() -> Path | None:
    """The browser for the page tests."""
    names = ("/usr/bin/chromium", "chromium", "chromium-browser", "google-chrome")
    found = next(filter(None, map(shutil.which, names)), None)
    return Path(found) if found else None


def _has_opengl() -> bool:
    libraries = all(ctypes.util.find_library(name) for name in ("GL", "EGL", "GLESv2", "mtdev"))
    drivers = ("/usr/lib/*/dri/*_dri.so", "/usr/lib*/dri/*_dri.so", "/usr/lib/*/libgallium*.so")
    return libraries and any(glob.glob(pattern) for pattern in drivers)


SYSTEM_PACKAGES = (
    SystemPackage("PostgreSQL", lambda: postgres_binaries() is not None, ("postgresql",)),
    SystemPackage("Chromium", lambda: chromium() is not None, ("chromium",)),
    SystemPackage(
        "Mesa OpenGL", _has_opengl, ("libgl1", "libegl1", "libgles2", "libgl1-mesa-dri", "libmtdev1")
    ),
)


def missing_of(names: Collection[str]) -> list[SystemPackage]:
    """Those of the named ones that this machine does not have."""
    return [package for package in SYSTEM_PACKAGES if package.name in names and not package.is_there()]


def install_missing(names: Collection[str]) -> None:
    """Install what is missing of the named ones, as root on Debian; else raise and say what to install."""
    missing = missing_of(names)
    if not missing:
        return
    debian = [name for package in missing for name in package.debian]
    if not _may_install():
        raise SystemPackagesMissing(_what_to_do(missing, debian))
    print(f"Installing with apt-get: {' '.join(debian)} ...", flush=True)
    _apt_get("update")
    _apt_get("install", "--yes", "--no-install-recommends", *debian)
    still = missing_of(names)
    if still:
        raise SystemPackagesMissing(_what_to_do(still, debian))


def _may_install() -> bool:
    return shutil.which("apt-get") is not None and hasattr(os, "geteuid") and os.geteuid() == 0


def _apt_get(*arguments: str) -> None:
    """Run apt-get; quiet unless it fails, and never asking a question."""
    answer = subprocess.run(
        ["apt-get", "--quiet", *arguments],
        env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    if answer.returncode != 0:
        raise SystemPackagesMissing(f"apt-get {' '.join(arguments)} failed:\n{answer.stdout[-2000:]}")


def _what_to_do(missing: list[SystemPackage], debian: list[str]) -> str:
    names = ", ".join(package.name for package in missing)
    return (
        f"Missing on this machine: {names}. On Debian or Ubuntu, as root: "
        f"apt-get update && apt-get install --yes --no-install-recommends {' '.join(debian)}\n"
        "To check less: python3 tests/run.py --without NAME (see --list)."
    )
