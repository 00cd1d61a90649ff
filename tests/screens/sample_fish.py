"""Sample fish: three with names, or as many as a test wants."""

from __future__ import annotations

from datetime import date, timedelta

from intake.flows.views.fish import FishDetail, FishPage, FishRow, FishView, LookLine

TODAY = date(2026, 11, 25)
DAYS = tuple(TODAY - timedelta(days=n) for n in range(20, -1, -1))
NAMED = (
    ("Ash", "red and white", "            ········_", "no sign", False),
    ("Brick", "red cap", "            ········_", "no sign", False),
    ("Coal", "black moor", "            ····1121_", "clamped fins 1", True),
)


def fish_row(at: int) -> FishRow:
    if at < len(NAMED):
        name, detail, grades, last, care = NAMED[at]
        return FishRow(f"{at:09d}", name, "fish", 1, "North tub", detail, grades, last, care)
    return FishRow(
        f"{at:09d}", f"Fish {at}", "fish", 1, "Racetrack", "ranchu", "·" * 21, "no sign", False
    )


def fish_page(vessel: str, start: int, count: int, total: int) -> FishPage:
    del vessel
    rows = tuple(fish_row(at) for at in range(start, min(total, start + count)))
    return FishPage(rows, start, total)


def fish_view(vessel: str, total: int) -> FishView:
    return FishView(
        vessel=vessel or "North tub",
        zone="quarantine day 12",
        occupants=f"{total} fish",
        looked="looked 07:10 today",
        days=DAYS,
        vessels=(("North tub", 3), ("Racetrack", 9)),
        total=total,
        because="the plan looks daily until day 28.",
    )


def fish_detail(name: str) -> FishDetail:
    return FishDetail(
        name=name,
        detail="black moor, 86 g on 14 Nov, bag 2 of box 14",
        signs=(("clamped fins", "            ····1121 "), ("rubbing", "            ·····11· ")),
        lines=(
            LookLine(611, "Mon 23 18:40", "rubbing 1", "rubs the sponge filter, twice", "K"),
            LookLine(640, "Tue 24 18:41", "clamped fins 1", "fins better, ate", "K"),
        ),
        because="grade 1 or more for three days asks for a slide: due Sat 28. Grade 3, or a "
        "second fish with it, says: ring the vet.",
        weights=(("14 Nov", "86 g"),),
    )
