"""The sizes of one vessel as read, and as the journal keeps them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from intake.science.spread import Size
from intake.science.volume import Inside, Lists


@dataclass(slots=True)
class Sizes:
    """The sizes of one vessel as read, and what was assumed of their doubt."""

    shape: str
    sizes: dict[str, Size] = field(default_factory=dict)
    lists: Lists = field(default_factory=lambda: Lists())
    inside: dict[str, Size] = field(default_factory=dict)
    assumptions: list[str] = field(default_factory=list)

    def within(self) -> Inside:
        """What is in or joined to the water."""
        return Inside(**self.inside)

    def kept(self) -> dict[str, Any]:
        """The sizes as the journal keeps them."""
        lists: dict[str, Any] = {}
        for name in ("depths", "points", "slices", "levels"):
            if name in self.lists:
                lists[name] = [_kept(item) for item in self.lists[name]]
        for name in ("sides", "salt_readings"):
            if self.lists.get(name) is not None:
                lists[name] = self.lists[name]  # type: ignore[literal-required]
        return {
            "sizes": {name: _kept(s) for name, s in self.sizes.items()},
            "inside": {name: _kept(s) for name, s in self.inside.items()},
            "lists": lists,
        }


def path_of(name: str) -> str:
    """Where a problem with a size is shown."""
    return "--" + name.replace("_", "-")


def _kept(item: Any) -> Any:
    if isinstance(item, Size):
        return {"value": item.value, "half": item.half}
    return [_kept(part) for part in item]
