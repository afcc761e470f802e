"""An exchange that nobody asked for: what came of it, without a word to anybody. Knows no window.

Offers `Quietly`, `share_quietly`.
"""

from dataclasses import dataclass

from mobile.workflows.asking import Sharing
from mobile.workflows.device_choices import choices
from shared_models.errors import NotReachableError, PomewardError


@dataclass(frozen=True, slots=True)
class Quietly:
    """Whether an exchange went through, how much came from others, and how long the server wants to be left alone [s]."""

    went_through: bool
    new: int = 0
    leave_alone: float | None = None


def share_quietly(phone: Sharing) -> Quietly:
    """Exchange where this phone has a group and may by choice; what goes wrong is told when somebody asks."""
    if phone.store.membership.current() is None or not choices(phone.store).shares_itself:
        return Quietly(went_through=True)
    try:
        return Quietly(went_through=True, new=phone.share().pulled)
    except NotReachableError as error:
        return Quietly(went_through=False, leave_alone=error.retry_after)
    except PomewardError:
        return Quietly(went_through=False)
