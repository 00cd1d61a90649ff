"""`intake dose TREATMENT ...`: what to weigh or draw up."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.dosing import dose_anywhere, dose_in_room
from intake.science.show import in_words, show

OPTIONS = (
    "course", "vessel", "volume", "fish-mass", "ration", "target", "already", "strength", "tool",
    "product", "drug", "temp", "ph", "kh", "gh", "tan", "oxygen", "chlorine", "demand", "stage",
)  # fmt: skip


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Answers with the amount, or why not."""
    parser = Parser("intake dose", "The product label and your vet come first.")
    parser.place("treatment", "which protocol")
    for option in OPTIONS:
        parser.option(option)
    parser.option("with", "TREATMENT:2 mg/L, what goes in together with it", many=True)
    typed = parser.read(tokens)
    answer = dose_in_room(desk_of(options), typed) if "vessel" in typed else dose_anywhere(typed)
    return Reply(answer, _lines if answer["amount"] is not None else _raise_lines)


def _signed(percent: float) -> str:
    return ("+" if percent > 0 else "") + show(percent, "", digits=2)


def _lines(a: dict[str, Any]) -> list[str]:
    amount = a["measured"] if a["measured"] is not None else a["amount"]
    unit = a["amount_unit"]
    head = f"{show(amount, unit, digits=4)} of {a['title']}, course {a['course']}"
    shown = Decimal(show(amount, "", digits=4).replace(",", ""))
    lines = [head, f"  say              {in_words(shown, unit)}"]
    target = f"{show(a['target'], a['target_unit'])}, hard limit {show(a['hard_limit'], '')}"
    lines.append(f"  target           {target} ({a['hard_limit_source']})")
    if a["volume_l"] is not None:
        ends = f"{show(a['volume_l_low'], '')} to {show(a['volume_l_high'], 'L')}"
        lines.append(f"  water            {show(a['volume_l'], 'L')} ({ends})")
    if a["already"]:
        lines.append(f"  already there    {show(a['already'], a['target_unit'])}")
    if a["reaches"]:
        lines.append(f"  reaches          {', '.join(a['reaches'])}")
    if a["measured"] is not None and a["rounding_percent"] is not None:
        exact = show(a["amount"], unit, digits=6)
        lines.append(f"  exact            {exact}, rounded by {_signed(a['rounding_percent'])} %")
    return lines + _made(a) + _later(a) + _said(a)


def _raise_lines(a: dict[str, Any]) -> list[str]:
    to, unit = show(a["target"], a["target_unit"]), a["target_unit"]
    lines = [f"{a['title']}: from {show(a['already'], unit)} to {to}, course {a['course']}"]
    for n, rise in enumerate(a["doses"]):
        label = "heater" if n == 0 else ""
        lines.append(f"  {label:<16} {show(rise['target'], unit)} from {rise['at'][:16]}")
    limit = f"{show(a['hard_limit'], unit)} ({a['hard_limit_source']})"
    return [*lines, f"  hard limit       {limit}", *_said(a)]


def _said(a: dict[str, Any]) -> list[str]:
    lines = []
    for name in ("against", "before", "during", "after", "stop_signs", "handling", "cautions"):
        for n, text in enumerate(a[name]):
            label = name.replace("_", " ") if n == 0 else ""
            lines.append(f"  {label:<16} {text}")
    return lines


def _made(a: dict[str, Any]) -> list[str]:
    """What it is taken from, and how it is made, step by step."""
    found = []
    if a["product"] is not None:
        p = a["product"]
        dates = (("batch", "batch"), ("opened", "opened"), ("good to", "expires"))
        known = [f"{word} {p[key]}" for word, key in dates if p[key]]
        found.append(("taken from", ", ".join([p["name"], p["strength"], *known])))
    if a["direction"] is not None:
        found.append(("directed by", f"{a['direction']['vet']}, {a['direction']['said_on']}"))
    if a["stock"] is not None:
        found += _numbered("stock", a["stock"]["how"])
    if a["feed"] is not None:
        found += _numbered("feed", a["feed"]["how"])
    elif a["feed_g_per_kg"] is not None:
        found.append(("feed", f"{show(a['feed_g_per_kg'], 'g')} of what counts in each kg"))
    return [f"  {label:<16} {text}" for label, text in found]


def _numbered(label: str, steps: list[str]) -> list[tuple[str, str]]:
    return [(label if n == 1 else "", f"{n}. {text}") for n, text in enumerate(steps, 1)]


def _later(a: dict[str, Any]) -> list[str]:
    """The steps that come after this one, each with its time."""
    found = []
    for n, step in enumerate(a["doses"][1:]):
        label = "then" if n == 0 else ""
        to = show(step["target"], a["target_unit"])
        amount = show(step["amount"], a["amount_unit"], digits=4)
        found.append(f"  {label:<16} {amount} to {to}, {step['at'][:16].replace('T', ' ')} UTC")
    return found
