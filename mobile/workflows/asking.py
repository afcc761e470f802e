"""What a screen may ask for: work on the phone's records, done elsewhere while the screen goes on. Names types only."""

from collections.abc import Callable
from typing import TypeAlias, TypeVar

from mobile.storage.phone_store import PhoneStore

R = TypeVar("R")

Store: TypeAlias = (
    PhoneStore  # what a screen's functions call the phone's records, which it never opens itself
)
Work: TypeAlias = Callable[[Store], R]
