"""The floor: a Flask handler that commits a posted JSON with sqlite3 at `synchronous=FULL`, and nothing else."""

from __future__ import annotations

import json
import os
import sqlite3
import threading

from flask import Flask, Response, request

app = Flask(__name__)
_lock = threading.Lock()
_database = sqlite3.connect(os.environ.get("BARE_DATABASE", ":memory:"), check_same_thread=False, isolation_level=None)
_database.execute("PRAGMA journal_mode = WAL")
_database.execute("PRAGMA synchronous = FULL")
_database.execute("CREATE TABLE IF NOT EXISTS record (number INTEGER PRIMARY KEY, id TEXT UNIQUE, body TEXT)")


@app.get("/readyz")
def ready() -> Response:
    """Answer."""
    return Response("{}", content_type="application/json")


@app.post("/records")
def post() -> Response:
    """Keep a record. Writers take turns here too: without it they poll for the file's lock and the slowest wait ten times as long."""
    body = request.get_json()
    text = json.dumps(body)
    with _lock:
        _database.execute("BEGIN IMMEDIATE")
        _database.execute("INSERT INTO record (id, body) VALUES (?, ?)", (body["id"], text))
        _database.execute("COMMIT")
    return Response(text, 201, content_type="application/json")
