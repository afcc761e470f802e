"""Locking a screen that counts against rain and pocket, also over a restart. Knows no count."""

from mobile.screens.screen import Screen
from mobile.widgets.lock import Lock


def lock(screen: Screen) -> None:
    """Nothing below is touched until two places far apart are touched one after the other."""
    screen.keep(locked=True)
    screen.lay(Lock(lambda: screen.keep(locked=False)))


def lock_as_left(screen: Screen) -> None:
    """Locked again where the place was left locked, as by a restart."""
    if screen.where.draft.get("locked"):
        lock(screen)
