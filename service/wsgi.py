"""The application for a WSGI server."""

import os

from service.app import create_app
from service.settings import Settings

app = create_app(Settings.from_environment(os.environ))
