"""The season report as plain text, for a terminal, a message or a file. Layout only; words are in report_words."""

from collections.abc import Iterable, Iterator

from shared_models.language import say, say_many
from shared_models.limit_words import choice_sentences, damage_sentence, limit_sentences
from shared_models.planning_words import line_sentence, planning_sentence
from shared_models.report_words import (
    methods_of,
    mix_name,
    named,
    percent,
    rate_sentence,
    tree_name,
    warning_sentence,
)
from shared_models.scoring_words import agreement_sentence, cut_sentence
from shared_models.season.report_parts import MixRate, SeasonReport, TrapLine, TreeLine, TreePart
from shared_models.verdict_text import contrasts_text, costs_text
from shared_models.verdict_words import narrowing_sentence


def as_text(report: SeasonReport) -> str:
    """The whole report, ending in a line break."""
    parts = (
        _head,
        _mixes,
        contrasts_text,
        costs_text,
        _warnings,
        _trees,
        _untreated,
        _left_out,
        _scoring,
        _traps,
        _trap_weeks,
        _doubts,
        _next_season,
        _limits,
    )
    return "\n".join(line for part in parts for line in part(report)) + "\n"


def _head(report: SeasonReport) -> Iterator[str]:
    yield say("Season {season}", season=report.season)
    yield damage_sentence(report.choice)
    yield from choice_sentences(report.choice)
    yield ""


def _mixes(report: SeasonReport) -> Iterator[str]:
    yield say("What trees had, and damage with its 95 % range")
    if not report.mixes:
        yield "  " + say("Nothing to show yet: score fruit at picking of trees whose methods are recorded.")
    width = max((len(mix_name(line.mix, methods_of(report))) for line in report.mixes), default=0)
    for line in report.mixes:
        yield from _mix(report, line, width)
    if report.spread:
        yield "  " + say(
            "Likeness of fruit on one tree (ICC) {icc}, assumed 0.10 worth {prior} degrees of freedom, {df} in all.",
            icc=f"{report.spread.icc_shared:.3f}",
            prior=f"{report.spread.prior_df:g}",
            df=f"{report.spread.df:g}",
        )
    yield ""


def _mix(report: SeasonReport, line: MixRate, width: int) -> Iterator[str]:
    shown = line.all_fruit or line.picked
    of_what = say("of all fruit") if line.all_fruit else say("of picked fruit")
    yield f"  {mix_name(line.mix, methods_of(report)):<{width}}  {rate_sentence(shown)}, {of_what}"
    if line.all_fruit:
        yield "    " + say("picked only: {rate}", rate=rate_sentence(line.picked))
    if line.picked_deep:
        deep = line.picked_deep
        yield "    " + say(
            "deep entry only: {rate} %, 95 % range {low}–{high} % of picked fruit",
            rate=percent(deep.rate),
            low=percent(deep.low),
            high=percent(deep.high),
        )
    if line.narrowing and line.picked.trees > 1:
        yield f"    {narrowing_sentence(line.narrowing)}"
    for warned in line.warnings:
        yield f"    ! {warning_sentence(warned)}"


def _warnings(report: SeasonReport) -> Iterator[str]:
    yield say("Read this with it")
    for warned in report.warnings:
        yield f"  ! {warning_sentence(warned)}"
    yield ""


def _trees(report: SeasonReport) -> Iterator[str]:
    yield say("Trees")
    for line in report.trees:
        yield f"  {tree_name(line)}: {named(line.status)}{_bags(line)}"
        for part in line.parts:
            yield f"    {_part(part)}"
        yield from _alone(report, line)
    yield ""


def _bags(line: TreeLine) -> str:
    if not line.bags_put_on:
        return ""
    return ", " + say_many("{count} bag put on", "{count} bags put on", round(line.bags_put_on))


def _part(part: TreePart) -> str:
    fruit = part.fruit
    damaged = fruit.sting + fruit.deep_entry + fruit.damaged
    scored = damaged + fruit.clean + fruit.other_insect + fruit.other
    where = ", ".join(named(key) for key in (part.source, part.cover, part.place))
    counts = say("{damaged} of {scored} damaged", damaged=f"{damaged:g}", scored=f"{scored:g}")
    total = (
        say("picked in all not known")
        if part.total is None
        else say("{total} in all", total=f"{part.total:g}")
    )
    unsure = ", " + say("{count} not sure", count=f"{fruit.not_sure:g}") if fruit.not_sure else ""
    return f"{where}: {counts}, {total}{unsure} · {', '.join(day or '?' for day in part.days)}"


def _alone(report: SeasonReport, line: TreeLine) -> Iterator[str]:
    for mix in report.mixes:
        for share in mix.trees:
            if share.tree == line.tree:
                yield (
                    "    "
                    + say(
                        "{mix}: {rate} % damaged, likely {low}–{high} %, on this tree",
                        mix=mix_name(mix.mix, methods_of(report)),
                        rate=percent(share.rate),
                        low=percent(share.low),
                        high=percent(share.high),
                    )
                    + (
                        "; " + say("none found, yet up to {most} % is possible", most=percent(share.at_most))
                        if share.at_most is not None
                        else ""
                    )
                )


def _untreated(report: SeasonReport) -> Iterator[str]:
    yield from _named_trees(
        report, say("Declared left untreated"), ((line.tree, line.declared) for line in report.untreated)
    )
    yield from _named_trees(
        report,
        say("Not recorded: in no comparison, never untreated"),
        ((tree, "") for tree in report.not_recorded),
    )


def _left_out(report: SeasonReport) -> Iterator[str]:
    reasons = ((line.tree, f"{line.reason} ({line.decided[:10]})") for line in report.left_out)
    yield from _named_trees(report, say("Left out of comparison"), reasons)


def _named_trees(report: SeasonReport, heading: str, trees: Iterable[tuple[str, str]]) -> Iterator[str]:
    lines = {line.tree: line for line in report.trees}
    listed = [
        f"  {tree_name(lines[tree])}{': ' + why if why else ''}" for tree, why in trees if tree in lines
    ]
    if listed:
        yield heading
        yield from listed
        yield ""


def _scoring(report: SeasonReport) -> Iterator[str]:
    cut = [cut_sentence(report.scoring.cut)] if report.scoring.cut else []
    told = [*map(agreement_sentence, report.scoring.agreement), *cut]
    if told:
        yield say("How the scoring was checked")
        yield from (f"  {one}" for one in told)
        yield ""


def _next_season(report: SeasonReport) -> Iterator[str]:
    yield ""
    yield say("Before next season: what so many trees can show")
    yield f"  {planning_sentence(report.next_season)}"
    yield from (f"    {line_sentence(line)}" for line in report.next_season.lines)


def _limits(report: SeasonReport) -> Iterator[str]:
    yield ""
    yield say("What this report cannot do")
    yield from (f"  {one}" for one in limit_sentences())


def _traps(report: SeasonReport) -> Iterator[str]:
    if report.traps:
        yield say("Traps: catch times the flight, it does not measure damage")
    for trap in report.traps:
        yield f"  {trap.garden} · {trap.label}: {_trap(trap)}"
        for visit in trap.visits:
            caught = (
                say("{catch} caught", catch=visit.catch) if visit.state == "counted" else named(visit.state)
            )
            days = say(" in {days} days", days=visit.days) if visit.days is not None else ""
            rate = say(", {rate} a week", rate=f"{visit.per_week:.1f}") if visit.per_week is not None else ""
            double = ", " + say("counted twice, not added") if visit.double_of else ""
            yield f"    {visit.day or '?'}  {caught}{days}{rate}{double}"
    if report.traps:
        yield ""


def _trap(trap: TrapLine) -> str:
    moths = say_many("{count} moth", "{count} moths", trap.caught_in_all)
    if trap.per_week is None or trap.low is None or trap.high is None:
        return say("{moths}; no days of known exposure, so no rate", moths=moths)
    return say(
        "{moths}; {rate} a trap and week (95 % range {low}–{high}, this trap only) over {days} days",
        moths=moths,
        rate=f"{trap.per_week:.1f}",
        low=f"{trap.low:.1f}",
        high=f"{trap.high:.1f}",
        days=trap.trap_days,
    )


def _trap_weeks(report: SeasonReport) -> Iterator[str]:
    if not report.trap_weeks:
        return
    yield say("Moths a trap and week, spread evenly over the days between visits")
    for week in report.trap_weeks:
        yield f"  {week.garden} · {week.week}  {week.per_trap_week:.1f}"
    yield ""


def _doubts(report: SeasonReport) -> Iterator[str]:
    for clash in report.label_clashes:
        yield say(
            "{garden}: label {label} stands on {count} trees; if they are one, say that these are one tree.",
            garden=clash.garden,
            label=clash.label,
            count=len(clash.trees),
        )
    for merged in report.merged:
        labels = ", ".join(merged.labels)
        yield say(
            "{count} records were said to be one tree: {labels}.", count=len(merged.others) + 1, labels=labels
        )
