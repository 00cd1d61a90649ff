from __future__ import annotations

import json
from pathlib import Path

from intake.rules.schema import schema_texts, write_schemas

FOLDER = Path(__file__).resolve().parents[2] / "protocols" / "schema"


def test_the_schemas_beside_the_protocols_are_those_of_the_models() -> None:
    """Regenerate with: python -m intake.rules.schema protocols/schema."""
    lying = {path.name: path.read_text("utf-8") for path in FOLDER.glob("*.json")}
    assert lying == schema_texts()


def test_they_are_written_as_json_with_nothing_optional_said_as_null(tmp_path: Path) -> None:
    write_schemas(tmp_path)
    for name, text in schema_texts().items():
        assert json.loads((tmp_path / name).read_text("utf-8")) == json.loads(text)
        assert '"null"' not in text


def test_every_protocol_names_its_schema_in_its_first_line() -> None:
    for path in FOLDER.parent.rglob("*.yaml"):
        first = path.read_text("utf-8").split("\n", 1)[0]
        named = first.removeprefix("# yaml-language-server: $schema=")
        assert (path.parent / named).resolve().is_file(), path
