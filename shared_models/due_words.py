"""The words of due work: what to do, and why, with the figure of its rule and where that figure comes from."""

from shared_models.language import say, say_many, spoken, word
from shared_models.reference.reading import Mark
from shared_models.reference.work_rules import WorkRule
from shared_models.timing.due_work import DueKind, DueLine, Why

_UNITS = {
    "days": word("days"),
    "moths": word("moths"),
    "°C": word("°C"),
    "°C·day": word("°C-days"),
    "BBCH": word("BBCH"),
    "mm": word("mm"),
}


def due_sentence(line: DueLine, garden: str, trap: str = "") -> str:
    """What to do, as a short line."""
    if line.trap is not None:
        return _at_trap(line, trap)
    if line.kind is DueKind.HANG:
        return say("{garden}: hang the traps, moths may fly from {day}.", garden=garden, day=line.since)
    if line.kind is DueKind.BAGGING:
        return _bagging(line, garden)
    if line.kind is DueKind.BAG_CHECK:
        return say("{garden}: look at the bags, last {days} days ago.", garden=garden, days=line.days)
    if line.kind is DueKind.DROPS:
        return _drops(line, garden)
    if line.kind is DueKind.BANDS_ON:
        return say("{garden}: put the trunk bands on.", garden=garden)
    return say("{garden}: take the trunk bands off.", garden=garden)


def due_reason(line: DueLine) -> str:
    """Why it is due: the figure of the rule, whose it is, and where it comes from."""
    rule = line.rule
    if rule.own:
        return say("Your group's own figure: {figure}.", figure=figure(rule))
    return say("Rule: {what} ({figure}). {source}", what=rule.what, figure=figure(rule), source=source(rule))


def source(rule: WorkRule) -> str:
    """Where a figure comes from, and how far to trust it."""
    if rule.mark is Mark.PRACTICE:
        return say("Common practice; no source was found.")
    if rule.mark is Mark.MEMORY:
        return say("Unchecked: {source}.", source=rule.source)
    return say("Source: {source}.", source=rule.source)


def figure(rule: WorkRule) -> str:
    """The figure of a rule with its unit."""
    if rule.value is None:
        return say("switched off")
    if rule.unit == "month and day":
        month, day = divmod(int(rule.value), 100)
        return say("day {day} of month {month}, in the south half a year later", day=day, month=month)
    if rule.unit == "BBCH":
        return say("BBCH {value}", value=f"{rule.value:g}")
    return say("{value} {unit}", value=f"{rule.value:g}", unit=unit_words(rule.unit))


def unit_words(unit: str) -> str:
    """The unit of a figure."""
    return spoken(_UNITS.get(unit, unit))


def _at_trap(line: DueLine, trap: str) -> str:
    if line.kind is DueKind.TRAP:
        if line.days is None:
            return say("Trap {trap}: not counted yet.", trap=trap)
        return say("Trap {trap}: count, last {days} days ago.", trap=trap, days=line.days)
    if line.kind is DueKind.LINER:
        if line.why is Why.MOTHS:
            return say(
                "Trap {trap}: change the liner, {moths} moths since the last new one.",
                trap=trap,
                moths=f"{line.number or 0:g}",
            )
        return say("Trap {trap}: the liner is {days} days old.", trap=trap, days=line.days)
    if line.why is Why.HOT:
        return say(
            "Trap {trap}: the lure is {weeks} weeks old, and it is hot.",
            trap=trap,
            weeks=(line.days or 0) // 7,
        )
    return say("Trap {trap}: the lure is {weeks} weeks old.", trap=trap, weeks=(line.days or 0) // 7)


def _bagging(line: DueLine, garden: str) -> str:
    if line.why is Why.HATCH:
        return say("{garden}: look whether fruit is big enough for bags, egg hatch is near.", garden=garden)
    return say("{garden}: bag fruit, it is big enough.", garden=garden)


def _drops(line: DueLine, garden: str) -> str:
    if line.days is None:
        return say("{garden}: no drops round since June drop yet.", garden=garden)
    return say_many(
        "{garden}: drops round, last {count} day ago.",
        "{garden}: drops round, last {count} days ago.",
        line.days,
        garden=garden,
    )
