"""The words of the checks of scoring: how far two people agree, and what cutting found. No layout."""

from shared_models.language import say, say_many
from shared_models.report_words import isolated, percent
from shared_models.season.report_parts import AgreementLine, CutLine


def agreement_sentence(line: AgreementLine) -> str:
    """How far two people agree: share alike, and what of it is more than chance."""
    alike = say(
        "{first} and {second} scored {fruit} fruit both: {equal} % alike (95 % range {low}–{high} %)",
        first=isolated(line.first),
        second=isolated(line.second),
        fruit=line.fruit,
        equal=percent(line.equal),
        low=percent(line.low),
        high=percent(line.high),
    )
    if line.kappa is None or line.kappa_low is None or line.kappa_high is None:
        return alike + say("; all fruit got one mark, so chance cannot be told from agreement.")
    return alike + say(
        "; beyond chance, Cohen's kappa {kappa} ({low} to {high}).",
        kappa=f"{line.kappa:.2f}",
        low=f"{line.kappa_low:.2f}",
        high=f"{line.kappa_high:.2f}",
    )


def cut_sentence(line: CutLine) -> str:
    """What cutting fruit that looked clean found."""
    trees = say_many("{count} tree", "{count} trees", line.trees)
    if not line.found:
        return say(
            "{cut} fruit of {trees} that looked clean were cut and none had an entry; up to {high} % is possible.",
            cut=line.cut,
            trees=trees,
            high=percent(line.high),
        )
    return say(
        "{cut} fruit of {trees} that looked clean were cut; {found} had an entry, {share} % ({low}–{high} %). "
        "No rate in this report is raised for it.",
        cut=line.cut,
        trees=trees,
        found=line.found,
        share=percent(line.share),
        low=percent(line.low),
        high=percent(line.high),
    )
