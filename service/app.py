"""The Flask application."""

from __future__ import annotations

from flask import Flask

from service import jobs
from service.press import Press
from service.settings import Settings
from service.storage.store import open_store
from service.web import access, compression, health, owner_view, problems
from service.web.attachments import blueprint as attachments
from service.web.books import blueprint as books
from service.web.capture import blueprint as capture
from service.web.cars import blueprint as cars
from service.web.checks import blueprint as checks
from service.web.desk.entry import blueprint as entry
from service.web.desk.views import blueprint as desk
from service.web.devices import blueprint as devices
from service.web.documents import blueprint as documents
from service.web.headers import add_security_headers
from service.web.history import blueprint as history
from service.web.pages import blueprint as pages
from service.web.recall import blueprint as recall
from service.web.records import blueprint as records
from service.web.reference import blueprint as reference
from service.web.search import blueprint as search
from service.web.shares import blueprint as shares
from service.web.uploads import blueprint as uploads


def create_app(settings: Settings | None = None) -> Flask:
    """The application with these settings. Without a data folder it keeps nothing: every call is answered from what it was sent."""
    settings = settings or Settings()
    app = Flask(__name__, static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = settings.largest_request
    app.json.sort_keys = False  # type: ignore[attr-defined]
    app.json.ensure_ascii = False  # type: ignore[attr-defined]
    problems.register(app)
    health.register(app)
    compression.register(app)
    app.after_request(add_security_headers)
    app.register_blueprint(reference)
    app.register_blueprint(checks)
    if settings.data is not None:
        app.extensions["asfitted"] = store = open_store(settings.data, settings.database, settings.files)
        app.extensions["asfitted_press"] = Press(store, settings.queue)
        app.config["ASFITTED_ADDRESS"] = settings.address
        access.register(app, open_to_all=settings.open)
        owner_view.register(app, jobs.owner_view)
        for keeping in (capture, desk, entry, cars, records, documents, history, search, recall, attachments, uploads, books, devices, shares, pages):
            app.register_blueprint(keeping)
    return app
