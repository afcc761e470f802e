"""The time zone that the device believes in, by its IANA name. Knows no garden."""

import os
import sys
from pathlib import Path
from zoneinfo import available_timezones

_LINK = Path("/etc/localtime")
_NAMED = Path("/etc/timezone")


def zone_here() -> str:
    """The name of the zone; empty where the system does not tell one."""
    for name in (os.environ.get("TZ", ""), _of_android(), _of_the_link(), _of_the_file()):
        if name in available_timezones():
            return name
    return ""


def _of_android() -> str:
    if not hasattr(sys, "getandroidapilevel"):
        return ""
    from jnius import autoclass

    return str(autoclass("java.util.TimeZone").getDefault().getID())


def _of_the_link() -> str:
    try:
        return str(_LINK.resolve()).partition("zoneinfo/")[2]
    except OSError:
        return ""


def _of_the_file() -> str:
    try:
        return _NAMED.read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return ""
