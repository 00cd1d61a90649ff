"""What an answer says beside its numbers."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from intake.science.problem import Warn


@dataclass(slots=True)
class Notes:
    """What an answer says beside its numbers."""

    assumptions: list[str] = field(default_factory=list)
    warnings: list[Warn] = field(default_factory=list)
    because: list[str] = field(default_factory=list)

    def assume(self, text: str) -> None:
        """Adds an assumption once."""
        if text not in self.assumptions:
            self.assumptions.append(text)

    def warn(self, code: str, text: str) -> None:
        """Adds a warning once."""
        one = Warn(code, text)
        if one not in self.warnings:
            self.warnings.append(one)

    def as_keys(self) -> dict[str, Any]:
        """The three keys every answer carries."""
        return {
            "assumptions": self.assumptions,
            "warnings": [{"code": w.code, "text": w.text} for w in self.warnings],
            "because": self.because,
        }
