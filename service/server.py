"""Running the service on a production server."""

from __future__ import annotations

from granian import Granian
from granian.constants import Interfaces

from service.settings import Settings


def run(settings: Settings, host: str, port: int) -> None:
    """Serve until stopped (Ctrl-C or a termination signal), then finish what is being answered."""
    print(f"As Fitted answers on http://{host}:{port} (Ctrl-C stops it)")
    Granian("service.wsgi:app", address=host, port=port, interface=Interfaces.WSGI, workers=1, blocking_threads=4, log_access=False).serve()
