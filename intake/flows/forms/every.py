"""Every form, by the kind of entry it makes."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from intake.flows.forms import across, change, doses, fish, gauge, plan, room, shipments, water
from intake.flows.forms.form import Form

FORMS: Mapping[str, Form] = MappingProxyType(
    {
        form.kind: form
        for module in (room, water, change, gauge, doses, shipments, across, fish, plan)
        for form in module.FORMS
    }
)
