"""The second environment: exactly the packages that can be built for a phone; knows nothing of the tests run in it."""

from __future__ import annotations

from demo.environment import ROOT, VENV, is_ready, prepare, python_of

VENV_PHONE = VENV + "-phone"

# pydantic-core has to be compiled for Android, and its build recipe exists for 2.41.4, which pydantic 2.12.3 pins.
# SQLAlchemy: the recipe builds from source at a given version; 2.0.44 imports on Python 3.13 and later.
PINNED = ("pydantic==2.12.3", "pydantic-core==2.41.4", "SQLAlchemy==2.0.44", "sqlmodel==0.0.50")
UNPINNED = ("httpx", "tzdata")
TEST_TOOLS = (
    "pytest>=8.3,<10",
    "pytest-timeout>=2.3,<3",
    "pytest-xdist>=3.6,<4",
    "hypothesis>=6.100,<7",
    "rfc8785",
    "apsw>=3.46,<4",
)


def phone_set_python() -> str:
    """The Python of that environment, made at the first call: no web framework, no window toolkit, no scipy."""
    contents = [*PINNED, *UNPINNED, *TEST_TOOLS]
    if not is_ready(VENV_PHONE, contents):
        prepare(VENV_PHONE, contents, [contents, ["--no-deps", "--editable", ROOT]])
    return python_of(VENV_PHONE)
