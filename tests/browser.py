"""The browser that the tests open pages in: Debian's Chromium, or what else is there."""

from __future__ import annotations

import shutil

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
