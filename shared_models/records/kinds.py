"""The list of all record kinds, and the check of an entry's fields against its kind.

To add a kind: write its class in a module of this folder, add it to `CLASSES`, and give it a case in the tests'
`strategies.py`. It is then validated, stored, folded, sent and loaded; nothing else needs to know.
"""

from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from typing import Any

from pydantic import ValidationError
from pydantic_core import SchemaValidator

from shared_models.entries import Entry
from shared_models.fold import DELETED, FoldedRecord
from shared_models.records.bag_checks import BagCheck
from shared_models.records.fields import Record, StrictBool
from shared_models.records.gardens import Garden, Graft, LeftOut, Note, Person, PlanLine, SameTree, Tree
from shared_models.records.jobs import DayTemperature, Job
from shared_models.records.methods import OwnMethod, PlannedContrast
from shared_models.records.plain_checks import annotation_of, checks_of, plain_type
from shared_models.records.refusals import Complaint, complaints
from shared_models.records.scoring_checks import CutSample, DoubleScore
from shared_models.records.tallies import Adjustment, NumberAtOnce, Pick, TallyMark, Visit
from shared_models.records.timing import DueRule, NoticeChoice, SeasonSetting, Stage
from shared_models.records.traps import Placement, Trap, TrapVisit

CLASSES: tuple[type[Record], ...] = (
    Person,
    Garden,
    Tree,
    Graft,
    SameTree,
    LeftOut,
    PlanLine,
    Note,
    OwnMethod,
    PlannedContrast,
    Trap,
    Placement,
    TrapVisit,
    Visit,
    TallyMark,
    NumberAtOnce,
    Adjustment,
    Pick,
    DoubleScore,
    CutSample,
    BagCheck,
    Job,
    DayTemperature,
    SeasonSetting,
    Stage,
    DueRule,
    NoticeChoice,
)
KINDS: dict[str, type[Record]] = {record.kind: record for record in CLASSES}
THAT_CHANGE = frozenset(record.kind for record in CLASSES if record.changes)
_PROVENANCE = frozenset(Record.model_fields)


@dataclass(frozen=True, slots=True)
class _Checks:
    """The two checks of a kind: all its required fields (a creating entry), or only those that are there."""

    creating: SchemaValidator
    editing: SchemaValidator


def is_known(kind: str, version: int) -> bool:
    """Whether this program can read entries of that kind and version."""
    record = KINDS.get(kind)
    return record is not None and version <= record.version


def kinds_known() -> str:
    """Tells programs apart that can read other kinds or versions: another text as soon as one is added."""
    told = " ".join(f"{kind} {record.version}" for kind, record in sorted(KINDS.items()))
    return sha256(told.encode()).hexdigest()[:16]


def check_fields(kind: str, fields: dict[str, Any], creates: bool) -> list[Complaint]:
    """What is wrong with an entry's fields, in whole sentences; empty where nothing is. Unknown fields pass."""
    checks = _checks(kind)
    try:
        (checks.creating if creates and DELETED not in fields else checks.editing).validate_python(fields)
    except ValidationError as error:
        return complaints(error)
    return []


def is_readable(entry: Entry) -> bool:
    """Whether this program knows the kind, the version and the fields."""
    return is_known(entry.kind, entry.v) and not check_fields(entry.kind, entry.f, entry.creates)


def record_of(folded: FoldedRecord) -> Record | None:
    """The typed record of a folded one; None while its creating entry has not come, or its kind is unknown."""
    record_class = KINDS.get(folded.kind)
    if record_class is None:
        return None
    try:
        return record_class.from_folded(folded)
    except ValidationError:
        return None


@cache
def _checks(kind: str) -> _Checks:
    fields = {name: info for name, info in KINDS[kind].model_fields.items() if name not in _PROVENANCE}
    annotations = {name: annotation_of(info) for name, info in fields.items()} | {DELETED: StrictBool}
    required = frozenset(name for name, info in fields.items() if info.is_required())
    name = f"FieldsOf_{kind}"
    return _Checks(
        creating=checks_of(plain_type(name, annotations, required, "allow")),
        editing=checks_of(plain_type(name, annotations, set(), "allow")),
    )
