"""What the group set instead of published figures; by itself, since counting at a trap needs no more of the rules."""

from mobile.storage.phone_store import PhoneStore
from shared_models.records.timing import DueRule


def own_rules(store: PhoneStore) -> dict[str, float | None]:
    """The group's figures by key; None where it switched a rule off."""
    return {
        rule.key: None if rule.off else rule.value
        for rule in store.all(DueRule)
        if rule.off or rule.value is not None
    }
