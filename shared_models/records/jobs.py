"""Records of work done to trees, and of day temperatures. All label facts are typed from the person's own label.

Nothing here is pre-filled or recommended: the label is the law, local rules and licensed advice go before it.
"""

from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field, StrictBool

from shared_models.entries import Identifier
from shared_models.records.fields import (
    Count,
    DayText,
    Doubt,
    Happening,
    MethodKey,
    MomentText,
    Place,
    ShortText,
    between,
    doubt,
)
from shared_models.when import ends_before

_Amount = Annotated[float, between(0, 1e6)]


class Product(BaseModel):
    """One product of a mix as its label names it."""

    model_config = ConfigDict(frozen=True, defer_build=True, extra="ignore")

    name: Annotated[str, Field(strict=True, min_length=1, max_length=120)]
    registration: ShortText | None = None
    active_substance: ShortText | None = None
    rate: ShortText | None = None
    amount: _Amount | None = None
    amount_unit: ShortText | None = None
    pre_harvest_days: Annotated[int, between(0, 366)] | Literal["not_given"] | None = None
    re_entry_hours: Annotated[float, between(0, 2400)] | Literal["until_dry", "not_given"] | None = None
    most_applications: Annotated[int, between(1, 100)] | None = None
    least_interval_days: Annotated[int, between(0, 366)] | None = None
    not_while_in_flower: StrictBool | None = None


class Job(Happening):
    """Work done to trees, or to a whole garden: a spray, a band, netting, thinning, a drops round …

    `removed_damaged` says that damaged fruit was taken off the tree in this job; it should then be numbered.
    """

    kind: ClassVar[str] = "job"
    method: MethodKey
    trees: Annotated[list[Identifier], Field(max_length=5000)] = []
    garden: Identifier | None = None
    place: Place = "whole"
    ended: MomentText | None = None
    people: Annotated[int, between(1, 100)] | None = None
    minutes: Count | None = None
    cost: _Amount | None = None
    partly: StrictBool = False
    rain_after: StrictBool | None = None
    removed_damaged: StrictBool = False
    products: Annotated[list[Product], Field(max_length=12)] = []
    water_l: _Amount | None = None
    treated_area_m2: _Amount | None = None
    target: Annotated[str, Field(pattern=r"^[A-Z0-9]{5,6}$")] | None = None
    bbch: Annotated[str, Field(pattern=r"^\d\d$")] | None = None
    wind_m_s: Annotated[float, between(0, 60)] | None = None
    temperature_c: Annotated[float, between(-40, 60)] | None = None
    operator: ShortText | None = None
    certificate: ShortText | None = None
    note: ShortText | None = None

    def doubts(self) -> list[Doubt]:
        """Warns on a job on nothing, an end before the start, and fruit removed by a job that names no tree."""
        found = []
        if not self.trees and self.garden is None:
            found.append(doubt("trees", "This job names neither trees nor a garden."))
        if self.ended and ends_before(self.ended, self.when):
            found.append(doubt("ended", "This job ends before it begins."))
        return found


class DayTemperature(Happening):
    """Lowest and highest temperature of a garden's day as typed, with its unit and when it is read.

    Read in the morning, the highest is that of the day before; `dusk` is the temperature at sunset; `origin` names the
    thermometer or station, and is empty for the person's own.
    """

    kind: ClassVar[str] = "day_temperature"
    garden: Identifier
    when: DayText
    lowest: Annotated[float, between(-80, 150)]
    highest: Annotated[float, between(-80, 150)]
    unit: Literal["C", "F"]
    dusk: Annotated[float, between(-80, 150)] | None = None
    habit: Literal["morning", "evening", "midnight"] | None = None
    origin: ShortText | None = None

    def doubts(self) -> list[Doubt]:
        """Warns on a lowest above the highest, on °C that look like °F, and on what no garden has had."""
        found = []
        if self.lowest > self.highest:
            found.append(doubt("lowest", "The lowest temperature is above the highest."))
        if self.unit == "C" and self.highest > 50:
            found.append(doubt("unit", "{highest} °C is unusually hot; was it °F?", highest=self.highest))
        if self.unit == "F" and self.highest > 122:
            found.append(doubt("highest", "{highest} °F is unusually hot.", highest=self.highest))
        if self.unit == "F" and self.highest < 32 and self.lowest > -5:
            found.append(doubt("unit", "{highest} °F is a day of frost; was it °C?", highest=self.highest))
        if self.lowest < (-50 if self.unit == "C" else -58):
            found.append(doubt("lowest", "{lowest} ° is unusually cold.", lowest=self.lowest))
        return found
