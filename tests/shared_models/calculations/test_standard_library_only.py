"""The calculations run on a phone: importing them brings in nothing beyond the standard library."""

import ast
import pkgutil
import subprocess
import sys

import shared_models.calculations

ASK = """
import sys
before = set(sys.modules)
import {module}
new = {{name.partition(".")[0] for name in set(sys.modules) - before}}
print(sorted(new - set(sys.stdlib_module_names) - {{"shared_models"}}))
print(sorted(name for name in sys.modules if name.startswith("shared_models.")))
"""


def _modules() -> list[str]:
    package = shared_models.calculations
    return [found.name for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}.")]


def _imported_by(module: str) -> tuple[str, str]:
    asked = subprocess.run(
        [sys.executable, "-c", ASK.format(module=module)], capture_output=True, text=True, check=True
    )
    foreign, own = asked.stdout.splitlines()
    return foreign, own


def test_no_calculation_imports_anything_beyond_the_standard_library_and_its_neighbours():
    foreign, own = _imported_by(", ".join(_modules()))
    assert foreign == "[]"
    outside = [name for name in ast.literal_eval(own) if not name.startswith("shared_models.calculations")]
    assert outside == []


def test_the_question_would_notice_a_foreign_package():
    foreign, _ = _imported_by("hypothesis")
    assert "hypothesis" in foreign
