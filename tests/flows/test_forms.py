"""The table of forms says of every form which module it is in."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest

from intake.flows import forms
from intake.flows.forms.every import FORMS
from intake.flows.forms.form import Form


def modules() -> list[ModuleType]:
    names = [path.stem for path in Path(next(iter(forms.__path__))).glob("*.py")]
    found = [import_module(f"intake.flows.forms.{n}") for n in names if n not in ("every", "form")]
    return [module for module in found if hasattr(module, "FORMS")]


def test_every_form_is_found_by_its_kind() -> None:
    written: dict[str, Form] = {form.kind: form for m in modules() for form in m.FORMS}
    assert len(written) > 30
    assert dict(FORMS) == written


def test_a_kind_that_is_not_there() -> None:
    assert "net" not in FORMS
    assert FORMS.get("net") is None
    with pytest.raises(KeyError):
        FORMS["net"]
