"""The parts of a garden's timing: plain values that the phone draws and the server renders. No words, no clock.

Days are ISO 8601 texts, totals °C·day to six decimals. The same entries, season and day give the same bytes anywhere.
"""

from shared_models.calculations.biofix import Rule, State
from shared_models.calculations.degree_days import Cutoff, Method
from shared_models.calculations.forecast import Basis
from shared_models.reference.published_events import Clock
from shared_models.season.named_parts import Part
from shared_models.seasons import Hemisphere


class DaySpan(Part):
    """Days in a row, both ends included."""

    first: str
    last: str


class SourceLine(Part):
    """Days in a row that one source tells; "" is the person's own thermometer."""

    source: str
    first: str
    last: str


class ClashLine(Part):
    """A day that one source tells twice, differently [°C]; the first pair is used."""

    day: str
    lows: list[float]
    highs: list[float]


class ReckonedBy(Part):
    """Method, cutoff and thresholds [°C], printed with every total."""

    method: Method
    cutoff: Cutoff
    lower: float
    upper: float


class FigureLine(Part):
    """What one source says of an event [°C·day]; `unchecked` is quoted from memory."""

    low: float
    high: float
    source: str
    unchecked: bool


class EventBand(Part):
    """An event with the days between which its totals are reached.

    `unchecked` where all that is known of it is quoted from memory. Where published figures are there, total and days
    are theirs alone. `years` are the garden's own earlier years that took part.
    """

    key: str
    low: float
    high: float
    earliest: str | None
    latest: str | None
    basis: Basis
    years: list[int]
    unchecked: bool
    figures: list[FigureLine]


class ClockLine(Part):
    """A total that runs from one start (or from some day of an interval), and the events on it [°C·day].

    `low` counts from the last possible start, `high` from the first. `missing` days make both least totals.
    """

    clock: Clock
    first_start: str
    last_start: str
    low: float
    high: float
    missing: list[DaySpan]
    missing_days: int
    filled: list[DaySpan]
    events: list[EventBand]


class VisitMade(Part):
    """A trap visit that took part in a biofix."""

    visit: str
    trap: str
    day: str
    catch: int


class FlightLine(Part):
    """When the flight began, by which rule, made by which visits, or what is missing.

    `moths` were caught of `wanted` (`None` where the rule counts none); `chosen` whether somebody chose the rule.
    """

    rule: Rule
    chosen: bool
    source: str
    state: State
    first: str | None
    last: str | None
    moths: float
    wanted: float | None
    visits: list[VisitMade]
    cool: list[str]
    dusk_missing: list[str]
    seen_until: str | None


class BloomLine(Part):
    """Days of bloom of one cultivar, or of a tree without one: as they were seen."""

    name: str
    first: str | None
    full: str | None
    petal_fall: str | None


class OverlapLine(Part):
    """The days on which two cultivars of a garden flowered together; None where an end was not noted."""

    a: str
    b: str
    days: int | None


class FrostLine(Part):
    """A cold night beside what cold kills at the stage that was noted last before it [°C]."""

    night: str
    lowest: float
    crop: str
    stage: str
    bbch: str
    noted: str
    kills_10: float
    kills_90: float
    source: str


class GardenTiming(Part):
    """All that can be said of when, of one garden and season on a day. `until` is the last day with temperatures."""

    garden: str
    name: str
    hemisphere: Hemisphere
    until: str | None
    reckoned: ReckonedBy
    sources: list[SourceLine]
    clashes: list[ClashLine]
    unusable: int
    flight: FlightLine
    clocks: list[ClockLine]
    bloom: list[BloomLine]
    overlaps: list[OverlapLine]
    frost: list[FrostLine]

    def clock(self, which: Clock) -> ClockLine | None:
        """One of the clocks; None where it does not run."""
        return next((one for one in self.clocks if one.clock is which), None)


class SeasonTiming(Part):
    """The timing of all gardens of a season, on a day."""

    season: str
    day: str
    gardens: list[GardenTiming]
