"""What a service can say no with, beyond the errors that phone and server share."""

from shared_models.errors import BadInputError, NotAllowedError


class NotConnectedError(NotAllowedError):
    """Whoever asks holds no token of this server, or one that was taken back; connect with a new code."""


class UnknownGroupError(BadInputError):
    """There is no group of that name on this server."""
