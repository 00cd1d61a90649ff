"""Sample vessels: a tapered racetrack with gravel, a bowl."""

from __future__ import annotations

import math

from intake.flows.views.logged import DayLogged, LogLook
from intake.flows.views.parts import Shown
from intake.flows.views.vessels import (
    Gauged,
    PlanView,
    Profile,
    SizeQuestion,
    VesselLine,
    VesselsView,
    VesselView,
)


def racetrack(length: float, width: float) -> tuple[tuple[float, float], ...]:
    radius, straight = width / 2, length - width
    half = [math.radians(a) for a in range(-90, 91, 15)]
    right = [(straight / 2 + radius * math.cos(a), radius * math.sin(a)) for a in half]
    left = [(-x, -y) for x, y in right]
    return tuple(right + left)


def vessel_view(depth_cm: float = 46.0) -> VesselView:
    litres = round(372 * depth_cm / 46)
    return VesselView(
        vessel="North tub",
        system="North tub",
        shape="racetrack, tapered, gravel",
        digits=str(litres),
        half_text="± 11 L",
        range_text=f"{litres - 11} to {litres + 11} L",
        limits_use=f"{litres - 11} L",
        profile=Profile(((0.0, 128.0), (50.0, 154.0)), depth_cm, 50.0, 4.0, 152.0, 128.0),
        plan=PlanView(racetrack(152, 76), racetrack(128, 60), "152 x 76 cm"),
        gauged=(
            Gauged("tape", Shown("372 ± 11", "L"), "half-round ends, 76 cm wide, 60 at the floor"),
            Gauged("fill", Shown("381 ± 6", "L"), "38 buckets of 10.03 L on 14 Nov, same line"),
        ),
        agreement="they agree",
        agreement_said="0.7 of the gap their doubts allow.",
        taken_off=(
            ("full at the line", "391 L"),
            ("gravel, 30 L x 57 %", "-17 L"),
            ("sponge filters", "-2 L"),
            ("connected water", "0 L"),
            ("true water today", "372 L"),
        ),
        per_cm="each cm of line is 10.3 L",
        because="17 L gravel (30 L in bulk, 43 % of it water) and 2 L of sponge filters are "
        "taken off; no sump, no pipe.",
        depth_text="46 cm",
    )


def bowl_view() -> VesselView:
    steps = [h / 2 for h in range(61)]
    outline = tuple((h, 2 * math.sqrt(max(0.0, 20**2 - (20 - h) ** 2))) for h in steps)
    view = vessel_view()
    return VesselView(
        **{
            **{name: getattr(view, name) for name in VesselView.__slots__},
            "vessel": "Bowl",
            "shape": "bowl, part of a sphere",
            "digits": "21",
            "profile": Profile(outline, 24.0, 30.0, 0.0, 39.0, 12.0),
            "plan": None,
            "taken_off": (),
        }
    )


VESSELS = VesselsView(
    vessels=(
        VesselLine("Long tank", "Long tank", "box", Shown("240 ± 5", "L"), "resident", "11 fish"),
        VesselLine(
            "North tub", "North tub", "racetrack", Shown("372 ± 11", "L"), "quarantine", "3 fish"
        ),
        VesselLine("Bowl", "Bowl", "bowl", Shown("21 ± 1", "L"), "hospital", "1 fish"),
    ),
    because="vessels stand in the order of the round.",
)

SIZES_OF_A_BOX = (
    SizeQuestion("length", "length at the waterline", "length", "top"),
    SizeQuestion("width", "width at the waterline", "length", "across"),
    SizeQuestion("depth", "depth of water", "length", "side"),
    SizeQuestion("gravel", "gravel, in bulk", "volume", "floor", needed=False),
)


def log_look(vessel: str, file: str) -> LogLook:
    """A month of a logger that fell once and stood still for two days."""
    return LogLook(
        vessel,
        file,
        "28,800 rows, Sun 1 Nov 00:00 to Wed 25 Nov 14:30",
        tuple(
            DayLogged(f"Sun {n} Nov", f"{19 + n % 3}.1", "22.0", "20.6", "1,440", "0.02 h")
            for n in range(1, 26)
        ),
        (
            "times from 'Date', 'Time', temperatures from 'Temp (°C)', in C",
            "dates are read day first",
            "its times are taken for those of Europe/Lisbon",
            "unknown from Tue 10 Nov 04:00 to Thu 12 Nov 02:00, 46 h",
        ),
        ("the water fell 4.2 C within a day up to 2026-11-15; watch them for 14 days: breathing, "
         "gills, appetite",),
    )  # fmt: skip
