"""A tank by what it is sold as: its outside sizes stand where none are typed."""

from __future__ import annotations

from intake.science.problem import Problem
from intake.science.quantity import read_quantity
from intake.science.volume.trade import TANKS, THICKER_US_GAL, Tank


def tank_named(text: str) -> Tank | Problem:
    """The tank sold under that name, or a problem with the nearest ones."""
    from intake.flows.names import unknown

    return TANKS.get(text.strip()) or unknown(text, TANKS, "a size as sold")


def outside(tank: Tank) -> dict[str, str]:
    """Its outside sizes as they would be typed; the depth of water is never among them."""
    return {
        "length": f"{tank.length_in} in",
        "width": f"{tank.width_in} in",
        "height": f"{tank.height_in} in",
    }


def sold_as(tank: Tank) -> str:
    """What is said of the litres on the sticker."""
    sizes = f"{tank.length_in} x {tank.width_in} x {tank.height_in} in outside"
    return f"{sizes}, sold as {tank.sold_us_gal} US gal; that figure is never used"


def wall_missing(tank: Tank) -> str:
    """Why the wall is asked, with what is usual: it is measured, never assumed."""
    return (
        f"--trade {tank.name!r} needs --wall: its sizes are outside the glass. Measure it: "
        f"0.25 in is usual under {THICKER_US_GAL} US gal, 0.375 in above; here {tank.usual_glass}"
    )


def rim(name: str, tape_cm: float) -> dict[str, float] | None:
    """The height of the wall of a size as sold, as the journal keeps it.

    Outside: how thick the floor is nobody said, and the rim only bars what cannot be.
    """
    tank = TANKS.get(name)
    if tank is None:
        return None
    read = read_quantity(outside(tank)["height"], "length")
    assert not isinstance(read, Problem)
    return {"value": float(read.value or 0), "half": tape_cm / 2}
