"""The version of this program: written here once, and read from here when it is installed."""

from __future__ import annotations

from typing import Final

VERSION: Final = "0.1.0"
