"""What time it is on the server, as it is written down: UTC, always with the same number of digits, so that it sorts."""

from datetime import UTC, datetime, timedelta


def now_utc(later: timedelta = timedelta()) -> str:
    """Now, or some time after."""
    return (datetime.now(UTC) + later).isoformat(timespec="milliseconds").replace("+00:00", "Z")
