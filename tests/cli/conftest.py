"""Commands under test keep nothing in the tester's own folders."""

from __future__ import annotations

import pytest


@pytest.fixture(scope="session", autouse=True)
def _caches(tmp_path_factory: pytest.TempPathFactory) -> None:
    """A folder of caches for this run alone."""
    patch = pytest.MonkeyPatch()
    patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("caches")))
