"""A change of water as the sample room foretells it: now, after, and in a crash."""

from __future__ import annotations

from dataclasses import replace

from intake.flows.views.change import ChangeView

WATER_NOW = ChangeView(
    rows=(
        ("pH", "7.4", ""),
        ("NH3, mg/L as N", "0.0049", ""),
        ("TAN, mg/L as N", "0.5", ""),
        ("temperature", "20 C", ""),
        ("KH", "4 dKH", ""),
        ("next change due", "in 44 h 20 min, for NH3", ""),
    ),
    limit="0.02 mg/L as N",
    because="likely at this vessel's own CO2, at most in open air; feed not recorded, key g does",
)
FORETOLD = replace(
    WATER_NOW,
    rows=(
        ("pH", "7.4", "7.51, in open air 8.4"),
        ("NH3, mg/L as N", "0.0049", "0.0052, at most 0.037"),
        ("TAN, mg/L as N", "0.5", "0.41"),
        ("temperature", "20 C", "17.6 C"),
        ("KH", "4 dKH", "5.2 dKH"),
        ("next change due", "now, for NH3", "in 2 days 2 h, for NH3"),
    ),
    cares=("temperature goes down by 2.4 C at once; 2 C is the most",),
)
CRASH = ChangeView(
    rows=(
        ("pH", "5.9", "6.91, in open air 8.31"),
        ("NH3, mg/L as N", "0.0019", "0.0096, at most 0.22"),
        ("TAN, mg/L as N", "6", "3"),
        ("temperature", "20 C", "20 C"),
        ("KH", "0.4 dKH", "4.2 dKH"),
        ("next change due", "now, for KH", ""),
    ),
    limit="0.02 mg/L as N",
    cares=(
        "pH crash: 50 % of this water makes NH3 up to 0.22 mg/L as N, limit 0.02",
        "pH goes up by 1.01 at once; 0.5 is the most",
        "1.2 mg/L of chlorine in the tap: out of it before it goes in",
    ),
    crash=True,
    do=(
        "no feed, no bicarbonate yet, no more air than runs now unless fish gasp",
        "150 L out, 4 times, every 12 h; in: 142.5 L of rain or reverse osmosis water, 7.5 L of "
        "tap water, without its chlorine",
        "then 8.99 g of bicarbonate a day, 1 dKH, to 4 dKH; soft changes between",
        "test TAN and KH before every step",
    ),
    because=(
        "in acid water ammonia is ammonium; whatever raises the pH turns it into NH3. Nothing is "
        "held back: what you do is recorded."
    ),
)
