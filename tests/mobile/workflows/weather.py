"""A real year of temperatures on a phone, and days that a phone lives on: for tests of when."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.import_temperatures import TemperatureImport
from mobile.workflows.trap_round import TrapRound
from tests.mobile.phones import SetClock
from tests.shared_models.calculations.seattle import FILE

ROME = ZoneInfo("Europe/Rome")


def at(clock: SetClock, day: date) -> None:
    """Live on this day from now on."""
    clock.time = datetime(day.year, day.month, day.day, 20, tzinfo=ROME)


def with_weather(phone: PhoneStore, *, without: tuple[str, ...] = ()) -> None:
    """The real year 2014 of Seattle as if it were 2026, less some days."""
    head, *lines = FILE.read_text(encoding="utf-8").splitlines(keepends=True)
    year = [line.replace("2014-", "2026-") for line in lines if line.startswith("2014-")]
    kept = [line for line in year if not line.startswith(without)] if without else year
    TemperatureImport(phone, "".join([head, *kept]).encode()).record()


def with_flight(phone: PhoneStore, trap: str, clock: SetClock) -> None:
    """Three moths in a trap, the third on 11 May 2026."""
    for day, moths in ((4, 0), (7, 1), (11, 2)):
        at(clock, date(2026, 5, day))
        at_trap = TrapRound(phone).open(trap)
        at_trap.number(moths)
        at_trap.done()
