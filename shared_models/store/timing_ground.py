"""What the timing of a season is made of, read from the state tables by kind. The caller owns connection and group."""

from datetime import timedelta

from sqlalchemy import Connection, or_, select

from shared_models.fold import FoldedRecord
from shared_models.garbage import making_many
from shared_models.records.jobs import DayTemperature
from shared_models.records.traps import TrapVisit
from shared_models.season_records import SeasonRecords, gather
from shared_models.seasons import season_named
from shared_models.store.state import SAID, for_reading
from shared_models.store.tables import RECORD
from shared_models.timing.ground import KINDS_NEEDED, Readings, TimingGround, by_garden, first_day_needed
from shared_models.timing.readings import readings_stored

# What is on a liner when the season begins was counted before it; nobody leaves one for more than a year.
LINER_OF_LAST_YEAR = timedelta(days=366)


@making_many()
def timing_ground(connection: Connection, group: str, season_key: str) -> TimingGround:
    """Records of the season and readings of all years; the caller has brought the state up to the log."""
    return TimingGround(_season(connection, group, season_key), _readings(connection, group, season_key))


def _season(connection: Connection, group: str, season_key: str) -> SeasonRecords:
    season = season_named(season_key)
    first = (season.first_day - LINER_OF_LAST_YEAR).isoformat()
    near = RECORD.c.day.between(first, season.last_day.isoformat())
    kinds = [kind.kind for kind in KINDS_NEEDED if kind is not TrapVisit]
    wanted = or_(
        RECORD.c.kind.in_(kinds),
        (RECORD.c.kind == TrapVisit.kind) & or_(near, RECORD.c.day.is_(None), RECORD.c.season == season_key),
    )
    live = RECORD.c.group_id == group, RECORD.c.deleted.is_(False), wanted
    folded: list[FoldedRecord] = for_reading(connection, select(*SAID).where(*live))
    return gather(folded, [], season_key)


def _readings(connection: Connection, group: str, season_key: str) -> Readings:
    season = season_named(season_key)
    first, last = first_day_needed(season).isoformat(), season.last_day.isoformat()
    live = (
        RECORD.c.group_id == group,
        RECORD.c.deleted.is_(False),
        RECORD.c.kind == DayTemperature.kind,
        RECORD.c.day.between(first, last),
    )
    rows = connection.execute(select(RECORD.c.rec, RECORD.c.fields, RECORD.c.entered).where(*live)).all()
    return by_garden(readings_stored((rec, fields, entered) for rec, fields, entered in rows))
