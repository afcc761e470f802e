"""How bodies that are read raw are described in the OpenAPI document."""

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from shared_models.entries import Entry
from shared_models.protocol import MAX_PUSH_ENTRIES


class Push(BaseModel):
    """Entries as their canonical texts, oldest first."""

    model_config = ConfigDict(extra="ignore")
    entries: list[Entry] = Field(max_length=MAX_PUSH_ENTRIES)


def takes(model: type[BaseModel]) -> dict[str, Any]:
    """The description of a JSON body of this form."""
    return {
        "requestBody": {
            "required": True,
            "content": {"application/json": {"schema": model.model_json_schema()}},
        }
    }
