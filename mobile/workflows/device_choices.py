"""What the person chose for this device: scheme, type size, side of the keys, buzz and click, reminders. Never shared, never a record.

Offers `DeviceChoices`, `choices`, `choose`.
"""

from dataclasses import asdict, dataclass, replace
from typing import Any

from mobile.storage.phone_store import PhoneStore


@dataclass(frozen=True, slots=True)
class DeviceChoices:
    """How this device looks and feels. `scheme` is sun or dusk, `type_size` from 1.0 to 1.5.

    `keys_left`: where the phone lies on its side, what is touched most stands at the left. `shares_itself`: whether it
    exchanges with the group without being asked.
    """

    scheme: str = "sun"
    type_size: float = 1.0
    buzz: bool = True
    click: bool = False
    keys_left: bool = False
    shares_itself: bool = True
    remind_of_copies: bool = True


def choices(store: PhoneStore) -> DeviceChoices:
    """What was chosen; the usual where nothing was. A choice that a later release made is passed over."""
    kept = store.choices()
    return DeviceChoices(**{name: kept[name] for name in asdict(DeviceChoices()) if name in kept})


def choose(store: PhoneStore, **changed: Any) -> DeviceChoices:
    """Change some of it; durable when this returns."""
    chosen = replace(choices(store), **changed)
    store.save_choices(store.choices() | asdict(chosen))
    return chosen
