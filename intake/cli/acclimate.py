"""`intake acclimate ...`: a bag against a vessel, the ways across side by side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.workings import crossing
from intake.science.show import show, show_range

BAG = (
    "bag-ph", "bag-kh", "bag-temp", "bag-tan", "diluted", "bag-volume", "bag-salt",
    "hours-packed", "fish-mass", "fish",
)  # fmt: skip
VESSEL = ("vessel-ph", "vessel-kh", "vessel-temp")
MORE = ("vessel-tan", "vessel-salt", "vessel-volume", "drip", "air")


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Answers with what the bag holds, what opening it makes, and one way across."""
    parser = Parser("intake acclimate", "Any bag reading may be missing.")
    for option in BAG:
        parser.option(option)
    for option in VESSEL:
        parser.option(option, needed=True)
    for option in MORE:
        parser.option(option)
    typed = parser.read(tokens)
    return Reply(crossing(typed), _lines)


def _lines(a: dict[str, Any]) -> list[str]:
    def nh3(name: str) -> str:
        low, high = a[f"{name}_low"], a[f"{name}_high"]
        one = show(a[name], "mg/L as N")
        return one if low == high else f"{one}  ({show(low, '')} to {show(high, 'mg/L as N')})"

    share = a["worst_blend"]["share"] * 100
    worst = show(a["worst_blend"]["nh3_n_mg_l"], "mg/L as N")
    lines = [
        "NH3 in the bag",
        f"  shut, now        {nh3('nh3_now_n_mg_l')}",
        f"  opened, likely   {nh3('nh3_likely_n_mg_l')}",
        f"  opened, at worst {nh3('nh3_opened_n_mg_l')}",
        f"  worst mixture    {worst} with {share:.0f} % of the vessel's water",
        "",
        "way                     peak NH3   mg.h/L    C/h   pH/h   min  limits",
    ]
    for o in a["options"]:
        mark = "*" if o["name"] == a["choice"] else " "
        figures = (
            f"{_peak(o):>14} {show(o['exposure_mg_h_l'], '', digits=2):>8} "
            f"{o['fastest_temp_c_per_h']:>6.1f} {o['fastest_ph_per_h']:>6.2f} {o['minutes']:>5}"
        )
        lines.append(f"{mark} {o['name']:<17}{figures}  {_kept(o)}")
    lines += [
        f"  {o['name']} breaks {', '.join(o['breaks'])}" for o in a["options"] if o["breaks"]
    ]
    chosen = next(o for o in a["options"] if o["name"] == a["choice"])
    lines += ["", f"best: {a['choice']}. {a['reason']}"]
    lines += [f"  {n}. {step}" for n, step in enumerate(chosen["steps"], 1)]
    return lines


def _kept(option: dict[str, Any]) -> str:
    broken = len(option["breaks"])
    return f"{broken} broken" if broken else "all kept"


def _peak(option: dict[str, Any]) -> str:
    low, high = option["peak_nh3_n_mg_l_low"], option["peak_nh3_n_mg_l_high"]
    return show_range(low, high, "", digits=2)
