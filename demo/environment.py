"""Find a Python that fits, make the project's `.venv` once and go on inside it; knows nothing of the project's own code.

Any Python from 3.8 on can read this file: it runs before the right one is found, with the standard library alone.

"A `.venv` is ready when its marker says so, and the marker is written last." A run that was stopped half way
therefore leaves a folder that the next run recognises and makes anew.
"""

from __future__ import annotations

import contextlib
import glob
import hashlib
import json
import os
import shutil
import subprocess
import sys
from typing import Any, Iterable, Iterator, NoReturn, Sequence

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
VENV = os.path.join(ROOT, ".venv")
FITTING = ((3, 13), (3, 12), (3, 11))  # as `requires-python` in pyproject.toml; newest first
MARKER = "pomeward-installed.json"
NO_NETWORK_SIGNS = (
    "NewConnectionError",
    "NameResolutionError",
    "ConnectTimeout",
    "ProxyError",
    "No matching distribution found",
    "Could not fetch URL",
)


class EnvironmentTrouble(Exception):
    """The environment could not be made; the message says what to do."""


def ensure(extras: Sequence[str], welcome: Sequence[str] = ()) -> None:
    """Return at once inside a `.venv` that is ready; else make it ready and start this program again inside it.

    `welcome` are extras that the program can do without: they are tried where something is installed anyway.
    """
    try:
        if not is_ready(VENV, extras):
            make_ready(VENV, extras, welcome)
    except EnvironmentTrouble as trouble:
        print(trouble, file=sys.stderr)
        sys.exit(2)
    if os.path.realpath(sys.prefix) != os.path.realpath(VENV):
        start_again_with(python_of(VENV))


def make_ready(venv: str, extras: Sequence[str], welcome: Sequence[str]) -> None:
    """Install the extras with those that are welcome, or without these where they cannot be had here."""
    wanted = sorted(set(extras) | set(contents_of(venv)))
    if welcome:
        try:
            prepare_project(venv, sorted(set(wanted) | set(welcome)))
            return
        except EnvironmentTrouble as trouble:
            tell(f"Going on without {', '.join(welcome)}. {trouble}")
    prepare_project(venv, wanted)


def prepare_project(venv: str, contents: Sequence[str]) -> None:
    """Make or mend `venv` with the project and these extras of it."""
    prepare(venv, contents, [["--editable", f"{ROOT}[{','.join(contents)}]"]])


def is_ready(venv: str, contents: Iterable[str]) -> bool:
    """Whether the marker covers these contents, for this project as it is declared now and where it lies now."""
    marker = read_marker(venv)
    return (
        marker.get("state") == "ready"
        and marker.get("root") == ROOT
        and marker.get("project") == project_digest()
        and set(contents) <= set(marker["contents"])
        and os.path.exists(python_of(venv))
    )


def prepare(venv: str, contents: Sequence[str], installs: Sequence[Sequence[str]]) -> None:
    """Make or mend `venv`, run `pip install` once for each of `installs`, and mark it ready."""
    with only_one_at_a_time(venv):
        if is_ready(venv, contents):
            return
        if os.path.lexists(venv) and not is_worth_keeping(venv):
            remove(venv)
        if not os.path.exists(venv):
            create(venv)
        add(venv, contents, installs)


def add(venv: str, contents: Sequence[str], installs: Sequence[Sequence[str]]) -> None:
    """Install, and mark it ready at the end; when pip gives up (it then changed nothing), all stays as it was."""
    before = read_marker(venv)
    write_marker(venv, "installing", contents)
    try:
        for arguments in installs:
            install(venv, arguments)
    except EnvironmentTrouble:
        put_back_marker(venv, before)
        raise
    write_marker(venv, "ready", contents)


def is_worth_keeping(venv: str) -> bool:
    """Whether packages may be added to it: not stopped half way, not moved here, and its Python runs and fits."""
    marker = read_marker(venv)
    unfinished = marker.get("state") == "installing"
    moved = marker.get("root", ROOT) != ROOT
    return not unfinished and not moved and version_of(python_of(venv)) in FITTING and has_pip(venv)


def create(venv: str) -> None:
    """Make an empty environment with the first Python that can."""
    found = False
    for python in fitting_pythons():
        found = True
        os.makedirs(venv, exist_ok=True)
        write_marker(venv, "installing", [])
        tell(f"Making {os.path.basename(venv)} with {python} (once) ...")
        if run([python, "-m", "venv", venv]).returncode == 0 and has_pip(venv):
            return
        remove(venv)  # Debian's Python has no ensurepip unless python3-venv is installed: try the next one
    raise EnvironmentTrouble(
        "The Python found here cannot make a virtual environment: install its venv package "
        "(Debian, Ubuntu: apt-get install python3-venv), then run this again."
        if found
        else "Pomeward needs Python 3.11, 3.12 or 3.13, and none was found: install one "
        "(Debian 12 or newer: apt-get install python3 python3-venv; others: https://www.python.org/downloads/)."
    )


def fitting_pythons() -> Iterator[str]:
    """Every Python of a fitting version, the running one first, then the newest."""
    seen = set()
    for python in candidate_pythons():
        real = os.path.realpath(python)
        if real not in seen and version_of(python) in FITTING:
            seen.add(real)
            yield python


def candidate_pythons() -> Iterator[str]:
    """Paths where a Python may be; not all of them exist or run."""
    yield getattr(sys, "_base_executable", None) or sys.executable  # not the environment's own
    for major, minor in FITTING:
        name = f"python{major}.{minor}"
        for folder in [*os.environ.get("PATH", "").split(os.pathsep), "/usr/bin", "/usr/local/bin"]:
            yield os.path.join(folder, name)
        for folder in ("~/.pyenv/versions/", "~/.local/share/uv/python/cpython-"):
            yield from sorted(glob.glob(os.path.expanduser(f"{folder}{major}.{minor}.*/bin/python")))


def version_of(python: str) -> tuple[int, ...]:
    """Major and minor version; empty when it does not run."""
    if not os.path.exists(python):
        return ()
    answer = run([python, "-c", "import sys; print(*sys.version_info[:2])"])
    return tuple(int(part) for part in answer.stdout.split()) if answer.returncode == 0 else ()


def has_pip(venv: str) -> bool:
    """Whether pip runs inside it."""
    return run([python_of(venv), "-m", "pip", "--version"]).returncode == 0


def install(venv: str, arguments: Sequence[str]) -> None:
    """Run `pip install` with these arguments, or say in a sentence why it could not."""
    tell(f"Installing packages into {os.path.basename(venv)} ...")
    pip = [python_of(venv), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    answer = run([*pip, *arguments])
    if answer.returncode == 0:
        return
    if any(sign in answer.stdout for sign in NO_NETWORK_SIGNS):
        raise EnvironmentTrouble(
            "The packages could not be fetched: is there a network? Nothing of yours was touched; "
            "run this again when there is.\npip's last words: " + last_lines(answer.stdout, 1)
        )
    raise EnvironmentTrouble("pip could not install the packages:\n" + last_lines(answer.stdout, 15))


def run(command: Sequence[str]) -> subprocess.CompletedProcess[str]:
    """Run a command to its end, both its outputs together as text; one that cannot start counts as failed."""
    try:
        return subprocess.run(
            list(command), cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
    except OSError as error:
        return subprocess.CompletedProcess(list(command), 127, stdout=str(error))


def start_again_with(python: str) -> NoReturn:
    """Run this program's own command line under another Python, in place of this process."""
    sys.stdout.flush()
    if os.name == "nt":  # there exec would return to the prompt before the program ends
        sys.exit(subprocess.call([python, *sys.argv]))
    os.execv(python, [python, *sys.argv])


def python_of(venv: str) -> str:
    """Where an environment keeps its Python."""
    return (
        os.path.join(venv, "Scripts", "python.exe")
        if os.name == "nt"
        else os.path.join(venv, "bin", "python")
    )


def project_digest() -> str:
    """A digest of what decides the packages: pyproject.toml without the settings of the checks, which end it."""
    with open(os.path.join(ROOT, "pyproject.toml"), encoding="utf-8") as file:
        declared = file.read().split("\n[tool.")[0]
    return hashlib.sha256(declared.encode()).hexdigest()


def read_marker(venv: str) -> dict[str, Any]:
    """What the marker says; empty when there is none or it cannot be read."""
    try:
        with open(os.path.join(venv, MARKER), encoding="utf-8") as file:
            return dict(json.load(file))
    except (OSError, ValueError, TypeError):
        return {}


def contents_of(venv: str) -> list[str]:
    """What an environment was made to hold, as far as its marker tells."""
    return list(read_marker(venv).get("contents", []))


def write_marker(venv: str, state: str, contents: Sequence[str]) -> None:
    """Say how far this environment is, and for which project."""
    marker = {"state": state, "root": ROOT, "project": project_digest(), "contents": sorted(contents)}
    put_back_marker(venv, marker)


def put_back_marker(venv: str, marker: dict[str, Any]) -> None:
    """Replace the marker in one step, so that it is never half written; an empty one is taken away."""
    path = os.path.join(venv, MARKER)
    if not marker:
        os.unlink(path)
        return
    with open(path + ".new", "w", encoding="utf-8") as file:
        json.dump(marker, file)
    os.replace(path + ".new", path)


def remove(venv: str) -> None:
    """Take an environment away; of a link only the link."""
    if os.path.islink(venv):
        os.unlink(venv)
    else:
        shutil.rmtree(venv)


@contextlib.contextmanager
def only_one_at_a_time(venv: str) -> Iterator[None]:
    """Make a second run wait that was started while a first one still installs."""
    try:
        import fcntl
    except ImportError:  # Windows: two first runs at once are the user's to avoid
        yield
        return
    with open(venv + ".lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def last_lines(text: str, count: int) -> str:
    """The end of an output, without empty lines."""
    return "\n".join([line for line in text.splitlines() if line.strip()][-count:])


def tell(sentence: str) -> None:
    """Tell what takes a while."""
    print(sentence, file=sys.stderr, flush=True)
