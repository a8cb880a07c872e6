"""Running the service on a production server."""

from __future__ import annotations

import os
from typing import Any

from granian import Granian
from granian.constants import Interfaces

from service.logs import CONFIGURATION
from service.settings import Settings

#: Requests that one process answers at once. One process writes, so that writers take turns without polling for the file.
_THREADS = 8


def _serve(*arguments: Any) -> None:
    """One serving process: until it is told to stop and what is being answered is finished."""
    try:
        Granian._spawn_wsgi_worker(*arguments)
    finally:
        from service import wsgi

        wsgi.stop()


def run(settings: Settings, host: str, port: int) -> None:
    """Serve until stopped (Ctrl-C or a termination signal), then finish what is being answered."""
    os.environ.update(settings.to_environment())
    print(f"As Fitted answers on http://{host}:{port} and keeps its records in {settings.data} (Ctrl-C stops it)", flush=True)
    server = Granian("service.wsgi:app", address=host, port=port, interface=Interfaces.WSGI, workers=1, blocking_threads=_THREADS,
                     log_access=False, log_dictconfig=CONFIGURATION)
    server.serve(spawn_target=_serve)
