"""What is written down of what a person said: fields without silence, and ids made beforehand. Knows no record kind.

An id made beforehand lets several records name each other in one transaction (a tree and its graft, a visit and
its first mark).
"""

from enum import Enum
from typing import Any

from mobile.storage.phone_store import PhoneStore
from shared_models.entries import Fields
from shared_models.identifiers import new_id


def said(**fields: Any) -> Fields:
    """The fields that were said; what is None was not."""
    return {name: _plain(value) for name, value in fields.items() if value is not None}


def fresh_id(store: PhoneStore) -> str:
    """An id for a record that is about to be made."""
    return new_id(int(store.now().timestamp() * 1000))


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value
