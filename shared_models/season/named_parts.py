"""The smallest parts of a report: what a warning, a method and a mix are. Plain values; no words, no clock."""

from pydantic import BaseModel, ConfigDict

from shared_models.vocabulary import Reach


class Part(BaseModel):
    """A plain value that never changes."""

    model_config = ConfigDict(frozen=True, defer_build=True)


class Warned(Part):
    """A warning: its stable code, what it is about (labels), and how many."""

    code: str
    about: list[str] = []
    count: int = 0


class MethodNamed(Part):
    """A method as the report names it; `own` where the group named it."""

    key: str
    name: str
    reach: Reach
    own: bool


class MixNamed(Part):
    """A method mix: its key, methods had, methods had only partly, declared untreated, bare beside bagged fruit."""

    key: str
    methods: list[str]
    partly: list[str]
    untreated: bool
    beside_bags: bool
