"""Records of timing: how a garden's season is reckoned, growth stages, own rules for due work, and who wants notices.

Settings and rules have ids derived from what they are about, so that two phones that set one meet on one record.
"""

from typing import Annotated, ClassVar

from pydantic import Field, StrictBool

from shared_models.calculations.biofix import Rule
from shared_models.calculations.degree_days import Cutoff, Method
from shared_models.entries import Identifier
from shared_models.identifiers import derived_id
from shared_models.records.fields import (
    Doubt,
    Happening,
    Label,
    MomentText,
    Record,
    SeasonKey,
    ShortText,
    between,
    doubt,
)
from shared_models.stamps import EARLIEST_MS
from shared_models.vocabulary import Fill

Threshold = Annotated[float, between(-20, 60)]


class SeasonSetting(Record):
    """How one garden's season is reckoned; without a garden, that of every garden of the group.

    What is not said here holds as in the season before, then as the group has it, else as usual.
    `biofix` is the day, or the span of days, set by hand. `source` names the thermometer or station that goes before
    others on the same day ("" is the garden's own), `second_source` one that only fills gaps. Thresholds are in °C.
    """

    kind: ClassVar[str] = "season_setting"
    changes: ClassVar[bool] = True
    garden: Identifier | None = None
    season: SeasonKey
    rule: Rule | None = None
    moths: Annotated[int, between(1, 100)] | None = None
    biofix: MomentText | None = None
    method: Method | None = None
    cutoff: Cutoff | None = None
    lower_c: Threshold | None = None
    upper_c: Threshold | None = None
    source: ShortText | None = None
    second_source: ShortText | None = None
    fill: Fill | None = None

    def doubts(self) -> list[Doubt]:
        """Warns on thresholds the wrong way round, and on *by hand* without a day."""
        found = []
        if self.lower_c is not None and self.upper_c is not None and self.lower_c >= self.upper_c:
            found.append(doubt("lower_c", "The lower threshold does not lie below the upper one."))
        if self.rule is Rule.BY_HAND and self.biofix is None:
            found.append(doubt("biofix", "Biofix is set by hand, but no day is given."))
        return found


class Stage(Happening):
    """A growth stage that was seen: on a tree, or of a cultivar in a garden."""

    kind: ClassVar[str] = "stage"
    bbch: Annotated[str, Field(strict=True, pattern=r"^\d\d$")]
    tree: Identifier | None = None
    garden: Identifier | None = None
    cultivar: Label | None = None

    def doubts(self) -> list[Doubt]:
        """Warns where nothing says what was seen."""
        if self.tree is None and self.garden is None:
            return [doubt("garden", "This stage names neither a tree nor a garden.")]
        return []


class DueRule(Record):
    """A group's own figure for one rule of due work, or that it wants none of it."""

    kind: ClassVar[str] = "due_rule"
    changes: ClassVar[bool] = True
    key: Annotated[str, Field(strict=True, pattern=r"^[a-z][a-z_]{0,39}$")]
    value: Annotated[float, between(0, 5000)] | None = None
    off: StrictBool = False


class NoticeChoice(Record):
    """Whether a person wants to be told of flight in the group's traps."""

    kind: ClassVar[str] = "notice_choice"
    about: Identifier
    flight: StrictBool = True


def setting_id(garden: str | None, season: str) -> str:
    """The id of the one setting of a garden and season, or of the whole group's."""
    return derived_id(EARLIEST_MS, SeasonSetting.kind, garden or "", season)


def due_rule_id(key: str) -> str:
    """The id of a group's own figure for a rule."""
    return derived_id(EARLIEST_MS, DueRule.kind, key)


def notice_choice_id(person: str) -> str:
    """The id of a person's choice."""
    return derived_id(EARLIEST_MS, NoticeChoice.kind, person)
