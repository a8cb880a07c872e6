"""Devices for tests: paired without a code, and clients that send their tokens."""

from __future__ import annotations

import datetime as dt

from flask import Flask
from flask.testing import FlaskClient

from service.storage import devices, pairing


class Bearer(FlaskClient):
    """A client that sends a token with every request."""

    token = ""

    def open(self, *args: object, **kwargs: object) -> object:  # type: ignore[override]
        headers = dict(kwargs.pop("headers", None) or {})  # type: ignore[call-overload]
        return super().open(*args, headers={"Authorization": f"Bearer {self.token}", **headers}, **kwargs)  # type: ignore[arg-type]


def token(app: Flask, role: str, *, name: str = "phone", car: str | None = None, days: float | None = None, revoked: bool = False) -> str:
    """The token of a new device; `days` until it expires."""
    expires_at = (dt.datetime.now(dt.UTC) + dt.timedelta(days=days)).isoformat(timespec="seconds") if days is not None else None
    with app.extensions["asfitted"].database.writing() as connection:
        made = devices.enroll(connection, name=name, by="Oona", role=role, made_by="a test", car=car, expires_at=expires_at)
        if revoked:
            devices.revoke(connection, made.device.id, "a test")
    return made.token


def client(app: Flask, bearer: str | None = None) -> FlaskClient:
    """A client that sends this token, or none."""
    if bearer is None:
        return app.test_client()
    made = Bearer(app, app.response_class, use_cookies=True)
    made.token = bearer
    return made


def code(app: Flask, role: str = devices.BUILDER) -> str:
    """A fresh pairing code."""
    with app.extensions["asfitted"].database.writing() as connection:
        return pairing.make_code(connection, role, "a test").text
