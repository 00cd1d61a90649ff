"""JSON Schema of every kind of protocol file, for editors; the program itself does not read it.

`python -m intake.rules.schema protocols/schema` writes them anew, and beside them the
fingerprints of the treatments and plans, which the program does read.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from pydantic import JsonValue

from intake.rules.fields import Block
from intake.rules.known import write_known
from intake.rules.never_mix_file import NeverMixFile
from intake.rules.parasite_file import ParasiteFile
from intake.rules.plan_file import PlanFile
from intake.rules.rescue_file import RescueFile
from intake.rules.sign_file import SignFile
from intake.rules.treatment_file import TreatmentFile
from intake.rules.water_file import WaterFile

_MODELS: dict[str, type[Block]] = {
    "never-mix": NeverMixFile,
    "parasites": ParasiteFile,
    "plan": PlanFile,
    "rescue": RescueFile,
    "signs": SignFile,
    "treatment": TreatmentFile,
    "water": WaterFile,
}


def schema_texts() -> dict[str, str]:
    """File name and text of each schema, as they lie in protocols/schema."""
    return {f"{kind}.json": _text(model) for kind, model in _MODELS.items()}


def _text(model: type[Block]) -> str:
    schema = _as_written(model.model_json_schema(by_alias=True))
    dialect = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return json.dumps({**dialect, **schema}, indent=2, sort_keys=True) + "\n"


def _as_written(schema: dict[str, JsonValue]) -> dict[str, JsonValue]:
    """The schema of the text: a line left out is not the same as one without a value."""
    made: dict[str, JsonValue] = {}
    for key, value in schema.items():
        if key == "default" and value is None:
            continue
        if key == "default" and isinstance(value, bool):
            made[key] = "yes" if value else "no"
        elif key == "anyOf" and isinstance(value, list) and {"type": "null"} in value:
            given = [v for v in value if isinstance(v, dict) and v != {"type": "null"}]
            made.update(_as_written(given[0]))
        else:
            made[key] = _inside(value)
    return made


def _inside(value: JsonValue) -> JsonValue:
    if isinstance(value, dict):
        return _as_written(value)
    return [_inside(v) for v in value] if isinstance(value, list) else value


def write_schemas(folder: Path) -> None:
    """Write every schema into an existing folder."""
    for name, text in schema_texts().items():
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write_schemas(Path(sys.argv[1]))
    write_known(Path(sys.argv[1]).parent)
