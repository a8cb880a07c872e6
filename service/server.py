"""Running the service on a production server."""

from __future__ import annotations

import logging.config
import os
import signal
import threading
from typing import Any

from granian import Granian
from granian.constants import HTTPModes, Interfaces
from granian.http import HTTP1Settings, HTTP2Settings

from service.invitation import greeting
from service.lan.network import Network
from service.logs import CONFIGURATION
from service.press import Press
from service.settings import Settings
from service.storage.store import open_store

#: Connections that are held at once, as far as the system gives so many files; one that says nothing costs memory only, and not for long.
_MOST_CONNECTIONS, _OTHER_FILES, _BACKLOG = 16_384, 512, 1024
#: A request's head comes within this many milliseconds, and an idle connection is closed after them.
_HTTP1 = HTTP1Settings(header_read_timeout=20_000, max_buffer_size=64 * 1024)
_HTTP2 = HTTP2Settings(keep_alive_interval=20_000, max_headers_size=64 * 1024)


def _serve(*arguments: Any) -> None:
    """One serving process: until it is told to stop and what is being answered is finished."""
    try:
        Granian._spawn_rsgi_worker(*arguments)
    finally:
        from service import wsgi

        wsgi.stop()


def run(settings: Settings, host: str, port: int, network: Network | None = None) -> None:
    """Serve until stopped (Ctrl-C or a termination signal), then finish what is being answered. With a network, over TLS.

    Raises LanError when the page of trust cannot be answered.
    """
    os.environ.update(settings.to_environment())
    trust = network.answer_trust() if network is not None else None
    print(greeting(settings, network.instructions() if network is not None else None), flush=True)
    server = Granian("service.wsgi:gateway", address=host, port=port, interface=Interfaces.RSGI, workers=1, http=HTTPModes.http1, websockets=False,
                     backlog=_BACKLOG, backpressure=_connections(), http1_settings=_HTTP1, http2_settings=_HTTP2,
                     log_access=False, log_dictconfig=CONFIGURATION, ssl_cert=network.authority.chain_file if network else None,
                     ssl_key=network.authority.key_file if network else None)
    if network is not None:
        # Each new serving process reads the files again; the one before finishes what it answers.
        network.watch(server.signal_handler_reload)
    server.serve(spawn_target=_serve)
    if trust is not None:
        trust.shutdown()


def _connections() -> int:
    """How many connections may be held, having asked the system for as many files as it gives."""
    try:
        import resource
    except ImportError:
        # Windows counts no files.
        return _MOST_CONNECTIONS
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = _MOST_CONNECTIONS + _OTHER_FILES
    given = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
    if soft not in (resource.RLIM_INFINITY, given) and soft < given:
        resource.setrlimit(resource.RLIMIT_NOFILE, (given, hard))
    return max(128, (soft if soft > given else given) - _OTHER_FILES)


def work(settings: Settings) -> None:
    """Make the books of a queue at a URL until stopped; the running book is then put back into the queue."""
    logging.config.dictConfig(CONFIGURATION)
    assert settings.data is not None
    press = Press(open_store(settings.data, settings.database, settings.files), settings.queue)
    asked_to_stop = threading.Event()
    for name in (signal.SIGINT, signal.SIGTERM):
        signal.signal(name, lambda *_: asked_to_stop.set())
    press.start()
    print(f"Making books into {press.folder} (Ctrl-C stops it)", flush=True)
    # With a time limit: on Windows nothing interrupts a wait without one.
    while not asked_to_stop.wait(1.0):
        pass
    press.stop()
