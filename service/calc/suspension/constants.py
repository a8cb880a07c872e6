"""Constants shared by the suspension formulas."""

from __future__ import annotations

#: Standard gravity, m/s². Published: CGPM 1901, exact by definition.
STANDARD_GRAVITY = 9.80665
