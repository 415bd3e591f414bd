"""The committed JSON schema of a club follows from the records; run as a module it is written anew."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import Any

from tracker.model.club_layout import FILES, SCHEMA, ClubFile

COMMITTED = Path(str(files("tracker.output") / "schema" / "club.schema.json"))


def club_schema() -> str:
    """Return the schema as it is committed."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"A line of club.jsonl: one record, schema version {SCHEMA}",
        "oneOf": [{"$ref": f"#/$defs/{file.stem}"} for file in FILES],
        "$defs": {file.stem: _record(file) for file in FILES},
    }
    return json.dumps(schema, indent=1) + "\n"


def _record(file: ClubFile) -> dict[str, Any]:
    made = file.kind.model_json_schema(mode="serialization")
    named = made.get("$defs", {})
    fields = {name: _field(said, named) for name, said in made["properties"].items()}
    return {
        "type": "object",
        "description": made["description"].split("\n")[0],
        "properties": {"record": {"const": file.stem}, **fields},
        "required": ["record", *fields],
        "additionalProperties": False,
    }


def _field(said: dict[str, Any], named: dict[str, Any]) -> dict[str, Any]:
    """Return what holds of a field's value; an enum stands in its place, without its name."""
    whole = {**said, **named.get(str(said.get("$ref", "")).removeprefix("#/$defs/"), {})}
    return {
        key: value for key, value in whole.items() if key not in {"title", "description", "default", "$ref"}
    }


if __name__ == "__main__":
    COMMITTED.write_text(club_schema())
