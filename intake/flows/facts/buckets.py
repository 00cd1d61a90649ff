"""A vessel being filled by the bucket."""

from __future__ import annotations

from dataclasses import dataclass, field

from intake.flows.facts.things import Thing
from intake.science.spread import Size


@dataclass(frozen=True, slots=True)
class BucketMark:
    """So many buckets more, and the depth read then [cm]."""

    entry: int
    count: int
    depth: Size | None


@dataclass(slots=True)
class BucketFill(Thing):
    """A vessel being filled by the bucket; `vessel` is 0 until one of a new name is full."""

    bucket: Size = field(default_factory=lambda: Size(0.0))
    vessel: int = 0
    zone: str = ""
    system: str = ""
    marks: tuple[BucketMark, ...] = ()
    made: bool = False

    @property
    def count(self) -> int:
        """Buckets so far."""
        return sum(m.count for m in self.marks)

    @property
    def litres(self) -> float:
        """What they hold [L]."""
        return self.count * self.bucket.value

    def after_last_depth(self) -> int:
        """Buckets poured since a depth was read."""
        found = 0
        for mark in self.marks:
            found = 0 if mark.depth is not None else found + mark.count
        return found

    def table(self) -> list[tuple[Size, Size]]:
        """Depth and litres at each depth that was read; of two at one count the later."""
        count, found = 0, dict[int, Size]()
        for mark in self.marks:
            count += mark.count
            if mark.depth is not None and count:
                found[count] = mark.depth
        return [
            (depth, Size(n * self.bucket.value, n * self.bucket.half))
            for n, depth in found.items()
        ]
