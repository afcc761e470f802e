"""The few errors of Pomeward, named by what the caller can do. Each message is a whole sentence for a person."""


class PomewardError(Exception):
    """Something that a person can read: what happened, what was kept, what to do."""


class BadInputError(PomewardError):
    """What was given cannot be taken; mend it and try again. `field` names the place."""

    def __init__(self, sentence: str, field: str | None = None) -> None:
        super().__init__(sentence)
        self.field = field


class NotAllowedError(PomewardError):
    """This device or role may not do that; connect again or ask the coordinator."""


class NotReachableError(PomewardError):
    """Nobody answered, or the answer was not from a Pomeward server; everything stays here, try later.

    `retry_after` is how long a server that did answer wants to be left alone [s].
    """

    def __init__(self, sentence: str, retry_after: float | None = None) -> None:
        super().__init__(sentence)
        self.retry_after = retry_after


class TooLargeError(PomewardError):
    """Too much at once; send less at a time."""


class StartOverError(PomewardError):
    """The group's server was put back to an earlier state; send and fetch everything again under this `epoch`."""

    def __init__(self, sentence: str, epoch: str) -> None:
        super().__init__(sentence)
        self.epoch = epoch


class StoreError(PomewardError):
    """The store could not be read or written; nothing that was acknowledged is gone."""
