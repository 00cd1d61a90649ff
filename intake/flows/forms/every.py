"""Every form, by the kind of entry it makes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from importlib import import_module

from intake.flows.forms.form import Form

_KINDS = {
    "room": ("keeper", "person", "tool", "kit", "product"),
    "water": ("vessel", "reading", "feed", "equipment", "contact"),
    "logs": ("log",),
    "lines": ("level", "top-up"),
    "change": ("change",),
    "apart": ("isolate", "link"),
    "gauge": ("gauge", "settle"),
    "salt": ("salt-step",),
    "fillings": ("filling", "bucket", "filled"),
    "doses": ("dose", "given", "stop"),
    "baths": ("bath",),
    "directions": ("direction",),
    "shipments": ("shipment", "box", "bag", "claim"),
    "across": ("acclimation", "step", "checkpoint"),
    "fish": (
        "fish", "group", "measure", "look", "photo", "slide", "death",
    ),
    "moves": ("move", "leave"),
    "beginning": ("quarantine",),
    "plan": ("clock", "done", "skipped"),
    "release": ("release",),
}  # fmt: skip
"""The module of this folder each kind is in; a module is imported when a form of it is wanted."""


class _Forms(Mapping[str, Form]):
    def __init__(self) -> None:
        self._module = {kind: name for name, kinds in _KINDS.items() for kind in kinds}

    def __getitem__(self, kind: str) -> Form:
        module = import_module(f"intake.flows.forms.{self._module[kind]}")
        forms: Sequence[Form] = module.FORMS
        return next(form for form in forms if form.kind == kind)

    def __contains__(self, kind: object) -> bool:
        return kind in self._module

    def __iter__(self) -> Iterator[str]:
        return iter(self._module)

    def __len__(self) -> int:
        return len(self._module)


FORMS: Mapping[str, Form] = _Forms()
