"""Fixtures for everything that keeps records, and the browser."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from playwright.sync_api import Browser, sync_playwright

from service.app import create_app
from service.settings import Settings
from tests.browser import CHROMIUM
from tests.kept import PostgreSQL, postgresql, sqlite_url


@pytest.fixture(scope="session")
def postgresql_server() -> Iterator[PostgreSQL]:
    with postgresql() as server:
        yield server


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: Any, tmp_path: Path) -> str:
    """An empty, migrated database of each kind."""
    if request.param == "sqlite":
        return sqlite_url(tmp_path / "data")
    return str(request.getfixturevalue("postgresql_server").url())


@pytest.fixture
def keeping_app(database_url: str, tmp_path: Path) -> Iterator[Flask]:
    """The application keeping records, on each kind of database."""
    app = create_app(Settings(data=tmp_path / "data", database=database_url, open=True))
    yield app
    app.extensions["asfitted"].database.close()


@pytest.fixture
def keeping(keeping_app: Flask) -> FlaskClient:
    """A client of it."""
    return keeping_app.test_client()


@pytest.fixture
def guarded_app(database_url: str, tmp_path: Path) -> Iterator[Flask]:
    """The application asking everyone for a token, on each kind of database."""
    app = create_app(Settings(data=tmp_path / "data", database=database_url))
    yield app
    app.extensions["asfitted"].database.close()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """A browser for a module: one left open longer would stand in the way of those that other tests start in this process."""
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield started
        started.close()
