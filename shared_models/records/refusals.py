"""Why an entry cannot be taken, as whole sentences that name the field. Knows pydantic's words, no record kind."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from shared_models.language import say


@dataclass(frozen=True, slots=True)
class Complaint:
    """One thing that is wrong: the field, a stable code, and a sentence for a person."""

    field: str
    code: str
    sentence: str


def complaints(error: ValidationError) -> list[Complaint]:
    """Every complaint of a failed validation, in the reader's language."""
    found = [_complaint(dict(item)) for item in error.errors(include_url=False)]
    return list({complaint.field: complaint for complaint in reversed(found)}.values())[::-1]


def _complaint(item: dict[str, Any]) -> Complaint:
    field = ".".join(str(part) for part in item["loc"] if not _is_branch(str(part))) or "entry"
    wording = _WORDINGS.get(item["type"])
    limits = item.get("ctx") or {}
    sentence = (
        wording(field, item, limits)
        if wording
        else say("“{field}” holds a value of the wrong form.", field=field)
    )
    return Complaint(field, item["type"], sentence)


_UNION_BRANCHES = frozenset({"constrained-int", "constrained-float", "int", "float"})


def _is_branch(part: str) -> bool:
    return part in _UNION_BRANCHES or part.startswith("literal[")


_Wording = Callable[[str, dict[str, Any], dict[str, Any]], str]


def _shown(value: object) -> str:
    text = str(value)
    return text if len(text) <= 40 else text[:37] + "…"


def _plain(limit: float) -> float:
    return int(limit) if limit == int(limit) else limit


def _missing(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say("“{field}” is missing; give it.", field=field)


def _too_small(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say(
        "“{field}” is {value}, and must be at least {least}.",
        field=field,
        value=_shown(item["input"]),
        least=_plain(limits["ge"]),
    )


def _too_large(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say(
        "“{field}” is {value}, and must be at most {most}.",
        field=field,
        value=_shown(item["input"]),
        most=_plain(limits["le"]),
    )


def _too_long(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say("“{field}” is longer than {most}; shorten it.", field=field, most=limits["max_length"])


def _too_short(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say("“{field}” is empty; fill it in.", field=field)


def _not_a_number(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say("“{field}” is “{value}”, and must be a number.", field=field, value=_shown(item["input"]))


def _not_a_whole_number(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say(
        "“{field}” is “{value}”, and must be a whole number.", field=field, value=_shown(item["input"])
    )


def _not_a_text(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say("“{field}” is “{value}”, and must be a text.", field=field, value=_shown(item["input"]))


def _not_yes_or_no(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say("“{field}” is “{value}”, and must be yes or no.", field=field, value=_shown(item["input"]))


def _not_a_choice(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say(
        "“{field}” is “{value}”; it is one of {choices}.",
        field=field,
        value=_shown(item["input"]),
        choices=limits["expected"].replace("'", ""),
    )


def _as_said(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say("“{field}”: {sentence}", field=field, sentence=str(limits["error"]))


def _unknown_name(field: str, item: dict[str, Any], limits: dict[str, Any]) -> str:
    return say("“{field}” is no part of an entry.", field=field)


_WORDINGS: dict[str, _Wording] = {
    "missing": _missing,
    "greater_than_equal": _too_small,
    "less_than_equal": _too_large,
    "string_too_long": _too_long,
    "too_long": _too_long,
    "string_too_short": _too_short,
    "too_short": _too_short,
    "int_type": _not_a_whole_number,
    "int_from_float": _not_a_whole_number,
    "int_parsing": _not_a_whole_number,
    "float_type": _not_a_number,
    "float_parsing": _not_a_number,
    "finite_number": _not_a_number,
    "string_type": _not_a_text,
    "bool_type": _not_yes_or_no,
    "bool_parsing": _not_yes_or_no,
    "enum": _not_a_choice,
    "literal_error": _not_a_choice,
    "value_error": _as_said,
    "extra_forbidden": _unknown_name,
}
