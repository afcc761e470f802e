"""What is due in a garden on a day, and by which rule: trap checks, lures, liners, bags, drops, bands. No words, no clock.

"A rule that a group switched off asks for nothing; a figure that it set itself goes before the published one."
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from shared_models.calculations.biofix import State
from shared_models.reference.growth_stages import FULL_BLOOM, PETAL_FALL
from shared_models.reference.published_events import Clock
from shared_models.reference.work_rules import WorkRule, WorkRules
from shared_models.seasons import Hemisphere, Season
from shared_models.timing.bloom import StageSeen
from shared_models.timing.parts import GardenTiming
from shared_models.timing.work_done import TrapAsItHangs, WorkDone

FORTNIGHT = 14  # days over which the rule of hot weather is judged
HALF_A_YEAR = 6  # months by which bands go on and off later in the south
FLIGHT_IS_ON = 45  # days for which a trap that does not hang yet is asked for (common practice)
BANDS_FOR = 30  # days for which putting on or taking off bands is asked for (common practice)


class DueKind(StrEnum):
    """What kind of thing is due."""

    TRAP = "trap"
    LURE = "lure"
    LINER = "liner"
    HANG = "hang"
    BAGGING = "bagging"
    BAG_CHECK = "bag_check"
    DROPS = "drops"
    BANDS_ON = "bands_on"
    BANDS_OFF = "bands_off"


class Why(StrEnum):
    """What of a rule was met; each is told by a sentence of its own."""

    NEVER = "never"  # never done yet
    AGE = "age"  # so many days since
    HOT = "hot"  # so many days since, and the weather was hot
    MOTHS = "moths"  # so many moths
    FLIGHT = "flight"  # a total is near
    STAGE = "stage"  # a stage was noted
    HATCH = "hatch"  # egg hatch is near, and no stage was noted
    SEASON = "season"  # the time of the year


@dataclass(frozen=True, slots=True)
class DueLine:
    """One thing that is due. `since` is the day that it is counted from, `days` how many have passed since."""

    kind: DueKind
    why: Why
    rule: WorkRule
    garden: str
    trap: str | None = None
    since: date | None = None
    days: int | None = None
    number: float | None = None


@dataclass(frozen=True, slots=True)
class GardenToday:
    """All that due work of one garden depends on. `flight_due` is the earliest day that moths may begin to fly."""

    season: Season
    day: date
    timing: GardenTiming
    traps: Sequence[TrapAsItHangs]
    stages: Sequence[StageSeen]
    done: WorkDone
    rules: WorkRules
    warmth: float | None = None
    flight_due: date | None = None


def due_work(here: GardenToday) -> list[DueLine]:
    """The lines of a garden: traps first, then fruit, then the ground."""
    work = (_hang, _traps, _bagging, _bag_check, _drops, _bands)
    return [line for one in work for line in one(here)]


# ---------------------------------------------------------------- traps
def _traps(here: GardenToday) -> Iterator[DueLine]:
    for trap in here.traps:
        yield from _check(here, trap)
        yield from _liner(here, trap)
        yield from _lure(here, trap)


def _check(here: GardenToday, trap: TrapAsItHangs) -> Iterator[DueLine]:
    met = here.timing.flight.state is State.MET
    rule = here.rules.rule("trap_check_after_biofix" if met else "trap_check_to_biofix")
    yield from _old(here, DueKind.TRAP, rule, trap.last_visit, trap.trap, never=True)


def _liner(here: GardenToday, trap: TrapAsItHangs) -> Iterator[DueLine]:
    rule = here.rules.rule("liner_moths")
    if rule.value is not None and trap.on_liner >= rule.value:
        yield DueLine(
            DueKind.LINER,
            Why.MOTHS,
            rule,
            here.timing.garden,
            trap.trap,
            trap.liner_since,
            None,
            trap.on_liner,
        )
        return
    yield from _old(here, DueKind.LINER, here.rules.rule("liner_age"), trap.liner_since, trap.trap)


def _lure(here: GardenToday, trap: TrapAsItHangs) -> Iterator[DueLine]:
    hot_from = here.rules.value("hot_from")
    hot = here.warmth is not None and hot_from is not None and here.warmth >= hot_from
    usual = list(_old(here, DueKind.LURE, here.rules.rule("lure_age"), trap.lure_since, trap.trap))
    if usual or not hot:
        yield from usual
        return
    for line in _old(here, DueKind.LURE, here.rules.rule("lure_age_hot"), trap.lure_since, trap.trap):
        yield DueLine(
            line.kind, Why.HOT, line.rule, line.garden, line.trap, line.since, line.days, here.warmth
        )


def _hang(here: GardenToday) -> Iterator[DueLine]:
    rule, ahead = here.rules.rule("hang_traps"), here.rules.value("hang_traps_ahead")
    if here.traps or not here.done.trees or rule.value is None or ahead is None or here.flight_due is None:
        return
    if here.flight_due - timedelta(ahead) <= here.day <= here.flight_due + timedelta(FLIGHT_IS_ON):
        yield DueLine(DueKind.HANG, Why.FLIGHT, rule, here.timing.garden, since=here.flight_due)


# ---------------------------------------------------------------- fruit
def _bagging(here: GardenToday) -> Iterator[DueLine]:
    lasts = here.rules.value("bagging_for")
    if not here.done.trees or here.done.bagging or lasts is None:
        return
    for opened in (_big_enough(here), _before_hatch(here)):
        if opened and opened.since and opened.since <= here.day <= opened.since + timedelta(lasts):
            yield opened
        if opened:
            return


def _big_enough(here: GardenToday) -> DueLine | None:
    """Since the stage of fruit of that size was noted, else so long after petal fall."""
    stage, after = here.rules.rule("bagging_from_bbch"), here.rules.rule("bagging_after_bloom")
    if stage.value is not None:
        seen = _noted(here.stages, f"{stage.value:.0f}", "79")
        if seen:
            return DueLine(DueKind.BAGGING, Why.STAGE, stage, here.timing.garden, since=seen)
    fell = _noted(here.stages, PETAL_FALL, PETAL_FALL)
    if fell is None or after.value is None:
        return None
    opens = fell + timedelta(after.value)
    return DueLine(
        DueKind.BAGGING, Why.AGE, after, here.timing.garden, since=opens, days=(here.day - fell).days
    )


def _before_hatch(here: GardenToday) -> DueLine | None:
    """Where nobody noted a stage, egg hatch itself says when it is time to look at the fruit."""
    rule = here.rules.rule("bagging_before_hatch")
    clock = here.timing.clock(Clock.BIOFIX) or here.timing.clock(Clock.SEASON)
    hatch = [one for one in (clock.events if clock else []) if one.key == "first_hatch" and not one.unchecked]
    if rule.value is None or not hatch or hatch[0].earliest is None:
        return None
    opens = date.fromisoformat(hatch[0].earliest) - timedelta(rule.value)
    return DueLine(DueKind.BAGGING, Why.HATCH, rule, here.timing.garden, since=opens)


def _bag_check(here: GardenToday) -> Iterator[DueLine]:
    done = here.done
    if done.bagging and not (done.picked and done.picked >= done.bagging):
        since = max(day for day in (done.bagging, done.bag_check) if day)
        yield from _old(here, DueKind.BAG_CHECK, here.rules.rule("bag_check"), since, None)


# ---------------------------------------------------------------- the ground and the trunk
def _drops(here: GardenToday) -> Iterator[DueLine]:
    rule, lasts = here.rules.rule("drops_round"), here.rules.value("drops_for")
    starts = _drops_start(here)
    if not here.done.trees or lasts is None or not starts <= here.day <= starts + timedelta(lasts):
        return
    last = here.done.drops if here.done.drops and here.done.drops >= starts else None
    yield from _old(here, DueKind.DROPS, rule, last, None, never=True)


def _drops_start(here: GardenToday) -> date:
    """So long after full bloom where it was noted, else the end of June drop."""
    bloom, after = _noted(here.stages, FULL_BLOOM, FULL_BLOOM), here.rules.value("drops_after_bloom")
    return bloom + timedelta(after) if bloom and after is not None else here.season.june_drop_ends


def _bands(here: GardenToday) -> Iterator[DueLine]:
    on, off = here.rules.rule("bands_on"), here.rules.rule("bands_off")
    if not here.done.trees or not (here.done.bands or on.own):
        return
    for kind, rule, done in (
        (DueKind.BANDS_ON, on, here.done.bands_on),
        (DueKind.BANDS_OFF, off, here.done.bands_off),
    ):
        day = day_of_rule(rule, here.season)
        wanted = kind is DueKind.BANDS_ON or here.done.bands_on is not None
        if day and wanted and done is None and day <= here.day <= day + timedelta(BANDS_FOR):
            yield DueLine(kind, Why.SEASON, rule, here.timing.garden, since=day)


def day_of_rule(rule: WorkRule, season: Season) -> date | None:
    """The day of a season that a rule names as month and day; half a year later in the south. None where it is off."""
    if rule.value is None:
        return None
    month, day = divmod(int(rule.value), 100)
    if season.hemisphere is Hemisphere.SOUTH:
        month = (month + HALF_A_YEAR - 1) % 12 + 1
    year = season.first_day.year if month >= season.first_day.month else season.first_day.year + 1
    try:
        return date(year, month, day)
    except ValueError:  # a day that a group set and that no month has
        return None


# ---------------------------------------------------------------- what several rules ask
def _old(
    here: GardenToday,
    kind: DueKind,
    rule: WorkRule,
    since: date | None,
    trap: str | None,
    never: bool = False,
) -> Iterator[DueLine]:
    """Due so many days after it was done last; where it never was, at once if `never`."""
    if rule.value is None:
        return
    if since is None:
        if never:
            yield DueLine(kind, Why.NEVER, rule, here.timing.garden, trap)
        return
    days = (here.day - since).days
    if days >= rule.value:
        yield DueLine(kind, Why.AGE, rule, here.timing.garden, trap, since, days)


def _noted(stages: Iterable[StageSeen], first: str, last: str) -> date | None:
    """The first day on which a stage of a range was seen."""
    return min((one.day for one in stages if first <= one.bbch <= last), default=None)
