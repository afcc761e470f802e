"""Checks of plain dictionaries by the fields of a model, without making the model. Knows no kind and no envelope.

Making an instance costs as much as checking it, and most of what is checked is only passed on.
"""

from collections.abc import Mapping, Set
from typing import Annotated, Any, Literal, NotRequired, cast

from pydantic import ConfigDict, TypeAdapter
from pydantic.fields import FieldInfo
from pydantic_core import SchemaValidator
from typing_extensions import TypedDict


def annotation_of(info: FieldInfo) -> Any:
    """The type of a model's field with all its conditions."""
    return Annotated[(info.annotation, *info.metadata)] if info.metadata else info.annotation


def plain_type(
    name: str,
    annotations: Mapping[str, Any],
    required: Set[str],
    extra: Literal["allow", "forbid"],
    strict: bool = False,
) -> Any:
    """The type of dictionaries with these fields."""
    marked = {field: kept if field in required else NotRequired[kept] for field, kept in annotations.items()}
    # Built through its constructor, since a TypedDict with computed fields has no class statement.
    typed: Any = cast(Any, TypedDict)(name, marked)
    typed.__pydantic_config__ = ConfigDict(extra=extra, strict=strict)
    return typed


def checks_of(plain: Any) -> SchemaValidator:
    """The validator of a type, without the adapter around it, which costs time at each call."""
    return cast(SchemaValidator, TypeAdapter(plain).validator)
