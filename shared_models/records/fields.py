"""The building blocks of record kinds: bounded field types and the base classes. Knows no single kind.

Bounds are checked on the phone when typed and again by the server. A doubt across fields warns and never refuses.
"""

from dataclasses import dataclass
from functools import cache, cached_property
from typing import Annotated, Any, ClassVar
from zoneinfo import available_timezones

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, StrictBool

from shared_models.entries import Identifier
from shared_models.fold import FoldedRecord
from shared_models.language import say
from shared_models.records.last_word import last_word
from shared_models.seasons import is_season_key
from shared_models.when import When, parse_when

__all__ = ["Doubt", "Happening", "Identifier", "Record", "StrictBool"]


def _moment(text: str) -> str:
    parse_when(text)
    return text


def _day(text: str) -> str:
    if len(text) != 10:
        raise ValueError(f"“{text[:40]}” is no day; write it as 2026-06-04.")
    return _moment(text)


def _season(text: str) -> str:
    if not is_season_key(text):
        raise ValueError(f"“{text[:40]}” names no season; write 2026 in the north or 2026/27 in the south.")
    return text


@cache
def _zones() -> frozenset[str]:
    """Read once: going through the system's zone files took 26 ms, and a garden is read with every list of trees."""
    return frozenset(available_timezones())


def _zone(text: str) -> str:
    if text not in _zones():
        raise ValueError(f"“{text[:40]}” is no time zone; choose one such as Europe/Rome.")
    return text


_READABLE = r"^[^\x00-\x08\x0b\x0c\x0e-\x1f\x7f]*$"
Label = Annotated[str, Field(strict=True, min_length=1, max_length=60, pattern=_READABLE)]
Text = Annotated[str, Field(strict=True, max_length=2000, pattern=_READABLE)]
ShortText = Annotated[str, Field(strict=True, max_length=120, pattern=_READABLE)]
MomentText = Annotated[str, Field(strict=True, max_length=40), AfterValidator(_moment)]
DayText = Annotated[str, Field(strict=True, max_length=10), AfterValidator(_day)]
SeasonKey = Annotated[str, Field(strict=True, max_length=7), AfterValidator(_season)]
ZoneName = Annotated[str, Field(strict=True, max_length=64), AfterValidator(_zone)]
MethodKey = Annotated[str, Field(strict=True, pattern=r"^[a-z][a-z0-9_]{0,39}$")]
Mix = Annotated[list[MethodKey], Field(max_length=20)]
Place = Annotated[str, Field(strict=True, pattern=r"^(whole|side_[a-z]{1,12}|[0-9a-f-]{36})$")]


def between(least: float, most: float) -> Any:
    """Bounds of a number, both included: `Annotated[int, between(1, 100)]` is a whole number, never a text or a yes."""
    return Field(strict=True, ge=least, le=most)


Count = Annotated[int, between(0, 100_000)]
Latitude = Annotated[float, between(-90, 90)]
Longitude = Annotated[float, between(-180, 180)]
Year = Annotated[int, between(1800, 2100)]


@dataclass(frozen=True, slots=True)
class Doubt:
    """A warning about values that do not seem to fit; the record is kept as it is."""

    field: str
    sentence: str


class Record(BaseModel):
    """A record as folded, plus where it came from. Unknown fields of newer versions are ignored here, not lost."""

    model_config = ConfigDict(frozen=True, defer_build=True, extra="ignore", ignored_types=(cached_property,))
    kind: ClassVar[str] = ""
    version: ClassVar[int] = 1
    # What has to be said before something else is known; `last_word` is when that was said last.
    content: ClassVar[tuple[str, ...]] = ()
    # Whether it stands for years and is edited; then edits that did not know of each other are told to people.
    changes: ClassVar[bool] = False

    rec: str = ""
    by: str = ""
    entered: str = ""
    last_word: str = ""

    @classmethod
    def from_folded(cls, folded: FoldedRecord) -> "Record":
        """The record of a folded set of entries; pydantic's ValidationError while it is incomplete."""
        word = last_word(folded, cls.content) if cls.content else ""
        made = {"rec": folded.rec, "by": folded.by, "entered": folded.entered, "last_word": word}
        return cls.model_validate({**folded.fields, **made})

    def doubts(self) -> list[Doubt]:
        """What does not seem to fit; empty where nothing is doubtful."""
        return []


class Happening(Record):
    """Something that happened: when, who did it, and by hand which season it is given to."""

    when: MomentText
    done_by: Identifier | None = None
    season: SeasonKey | None = None
    reason: ShortText | None = None

    @cached_property
    def moment(self) -> When:
        """When it happened, read."""
        return parse_when(self.when)

    @property
    def person(self) -> str:
        """Who did it: the person named, else the one who recorded it."""
        return self.done_by or self.by


def doubt(field: str, sentence: str, /, **values: object) -> Doubt:
    """A doubt in the reader's language."""
    return Doubt(field, say(sentence, **values))
