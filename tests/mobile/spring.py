"""A spring on a phone, so that there is something to say of when. Invented."""

from __future__ import annotations

from datetime import date, timedelta

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.import_temperatures import TemperatureImport
from mobile.workflows.moments import Told
from mobile.workflows.stages import note_stage
from mobile.workflows.timing import set_timing
from mobile.workflows.trap_round import TrapRound
from shared_models.calculations.biofix import Rule
from shared_models.records.gardens import Tree
from shared_models.temperature_table.rows import AskedOfTable
from shared_models.vocabulary import Species

FIRST, LAST = date(2026, 1, 1), date(2026, 6, 3)
MISSING = ("2026-04-11", "2026-04-12", "2026-05-20")
COLD = ("2026-04-29", -3.4)


def spring(store: PhoneStore, garden: str, name: str, tree: str) -> None:
    """Temperatures with a gap and a cold night in bloom, growth stages, and a flight that somebody dated by hand."""
    TemperatureImport(store, _temperatures(), AskedOfTable(garden=name)).record()
    store.record(Tree.kind, {"species": Species.APPLE.value}, tree)
    for bbch, day in (("61", "2026-04-27"), ("65", "2026-05-01"), ("69", "2026-05-10")):
        note_stage(store, bbch, tree=tree, told=Told(day))
        note_stage(store, bbch, garden=garden, cultivar="Late Green", told=Told(day))
    set_timing(store, garden, "2026", rule=Rule.BY_HAND, biofix="2026-05-15/2026-05-18")


def flight(store: PhoneStore, trap: str) -> None:
    """Five moths that meet the rule of a garden with traps, a few days before the phone's day."""
    for day, moths in (("2026-05-26", 0), ("2026-05-29", 1), ("2026-06-02", 4)):
        at_trap = TrapRound(store).open(trap, Told(day))
        at_trap.number(moths)
        at_trap.done()


def _temperatures() -> bytes:
    """Warmer from month to month, with a warm and a cool week in turn."""
    lines = ["date,min (°C),max (°C)"]
    for n in range((LAST - FIRST).days + 1):
        day = FIRST + timedelta(n)
        if day.isoformat() in MISSING:
            continue
        low = -4 + 0.105 * n + (2 if n // 7 % 2 else -1)
        night = COLD[1] if day.isoformat() == COLD[0] else low
        lines.append(f"{day},{night:.1f},{low + 11:.1f}")
    return "\n".join(lines).encode()
