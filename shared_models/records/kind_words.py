"""The name of every record kind as people say it, for lists in which kinds stand side by side."""

from shared_models.language import spoken, word

KIND_WORDS: dict[str, str] = {
    "person": word("person"),
    "garden": word("garden"),
    "tree": word("tree"),
    "graft": word("graft on a tree"),
    "same_tree": word("two trees that are one"),
    "left_out": word("tree left out of a comparison"),
    "plan_line": word("plan for a tree"),
    "note": word("note"),
    "method": word("method of one's own"),
    "planned_contrast": word("comparison named beforehand"),
    "trap": word("trap"),
    "placement": word("place of a trap"),
    "trap_visit": word("visit to a trap"),
    "visit": word("visit to a tree"),
    "mark": word("tally mark"),
    "number": word("number at once"),
    "adjustment": word("corrected count"),
    "pick": word("fruit picked"),
    "double_score": word("fruit scored by two people"),
    "cut_sample": word("fruit cut open"),
    "bag_check": word("check of bags"),
    "job": word("work done"),
    "day_temperature": word("temperature of a day"),
    "season_setting": word("setting of a season"),
    "stage": word("growth stage"),
    "due_rule": word("rule for due work"),
    "notice_choice": word("choice of notices"),
}


def kind_in_words(kind: str) -> str:
    """How people call a kind; a kind that only a newer app knows is called a record."""
    return spoken(KIND_WORDS.get(kind, word("record of a newer app")))
