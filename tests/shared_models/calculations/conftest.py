"""Fixtures for the calculations: scipy as an outside judge, imported only by the tests that ask for it."""

from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def scipy_stats() -> ModuleType:
    """The distributions of scipy; tests that use it are marked needs_scipy."""
    import scipy.stats

    return scipy.stats
