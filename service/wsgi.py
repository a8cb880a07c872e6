"""The application for a WSGI server, and the gateway by which ours reaches it."""

import gc
import os
from threading import Thread

from service.app import create_app
from service.gateway import Gateway
from service.settings import Settings
from service.storage.orphans import tidy

app = create_app(Settings.from_environment(os.environ))
gateway = Gateway(app)
if "asfitted" in app.extensions:
    Thread(target=tidy, args=(app.extensions["asfitted"],), name="tidy", daemon=True).start()
press = app.extensions.get("asfitted_press")
if press is not None and press.embedded:
    press.start()
# What is there now stays for good; looking through it again and again would only make some answers slow.
gc.collect()
gc.freeze()


def stop() -> None:
    """Stop what runs beside the answering of requests; the running book is put back into the queue."""
    if press is not None:
        press.stop()
