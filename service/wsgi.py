"""The application for a WSGI server."""

from service.app import create_app

app = create_app()
