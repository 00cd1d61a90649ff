"""How everything on the screens is painted: two palettes, or attributes where there is no hue.

The contrast of every pair is recomputed in the tests by the WCAG 2.2 formula (W3C 2023).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Final, TypeVar, cast

from textual.content import Content
from textual.theme import Theme

from intake.science.text import inert

Value = TypeVar("Value")

NIGHT: Final[Mapping[str, str]] = {
    "ground": "#0E1519",
    "panel": "#152026",
    "raised": "#22323B",
    "rule": "#41545E",
    "ink": "#EAF0EE",
    "soft": "#B4C1C4",
    "faint": "#8A9A9F",
    "touch": "#7FD0E3",
    "care": "#F4BC5F",
    "stop": "#FF9280",
    "good": "#9FD3A8",
    "water": "#12424F",
    "gravel": "#6B6152",
}
"""The palette beside a tub in the evening: no glare."""

DAY: Final[Mapping[str, str]] = {
    "ground": "#FBFAF5",
    "panel": "#F0EEE6",
    "raised": "#DCE8EA",
    "rule": "#A9A698",
    "ink": "#12181A",
    "soft": "#3E494C",
    "faint": "#566164",
    "touch": "#07566C",
    "care": "#744600",
    "stop": "#9C1B14",
    "good": "#1B5A34",
    "water": "#BCDDE6",
    "gravel": "#B3A78F",
}
"""The palette of a bright room."""

ROLES: Final[Mapping[str, tuple[str, str]]] = {
    "ink": ("$ink", ""),
    "bold": ("bold $ink", "bold"),
    "soft": ("$soft", ""),
    "faint": ("$faint", ""),
    "rule": ("$rule", ""),
    "touch": ("$touch", "bold"),
    "key": ("bold $touch", "bold"),
    "care": ("$care", "bold underline"),
    "stop": ("bold $stop", "bold reverse"),
    "good": ("$good", ""),
    "stop-block": ("bold $ground on $stop", "bold reverse"),
    "touch-block": ("bold $ground on $touch", "bold reverse"),
    "over": ("$stop", "bold"),
    "off": ("$faint", ""),
    "here": ("bold $ink on $raised", "bold reverse"),
    "water": ("$touch on $water", ""),
    "wet": ("$soft on $water", ""),
    "waterline": ("$touch on $water", "bold"),
    "gravel": ("$soft on $gravel", ""),
    "wall-left": ("$soft", ""),
    "wall-wet": ("$soft on $water", ""),
    "wall-back": ("$water on $soft", ""),
    "wall-dry-back": ("$ground on $soft", ""),
    "plan-floor": ("$gravel", ""),
    "plan-both": ("$water on $gravel", ""),
    "plan-water": ("$water", ""),
    "plan-under": ("$gravel on $water", ""),
}
"""Each role as a style with hue and as attributes. Where hue is gone attributes replace it:
greys made stop paler than calm text, since coral is less bright than ink."""

_ASCII: Final[Mapping[int, str]] = str.maketrans(
    {
        "✓": "x",
        "○": "o",
        "●": "*",
        "◆": "#",
        "▲": "!",
        "■": "X",
        "·": ".",
        "┄": "-",
        "╌": "-",
        "▐": "|",
        "▌": ">",
        "▏": "|",
        "━": "=",
        "─": "-",
        "╍": "~",
        "┃": "|",
        "│": "|",
        "┬": "+",
        "┴": "+",
        "├": "+",
        "┤": "+",
        "█": "#",
        "▀": "#",
        "▄": "#",
        "▔": "~",
        "░": ".",
        "±": "+-",
        "–": "-",
        "—": "-",
        "…": "~",
        "←": "<",
        "→": ">",
        "↑": "^",
        "↓": "v",
        "“": '"',
        "”": '"',
        "’": "'",
    }
)


@dataclass(frozen=True, slots=True)
class Look:
    """The one door for style and glyph: decided once at start, then asked by every widget.

    Parameters
    ----------
    plain
        Attributes instead of hue: no colour wanted, or too few to tell roles apart.
    ascii
        Marks and bars in ASCII: the terminal does not promise more.
    """

    plain: bool = False
    ascii: bool = False

    def style(self, role: str) -> str:
        """The style string of a role; an unknown role is a bug and raises KeyError.

        A role ending in ``@here`` stands on the ground of the cursor; plain has none, the bar
        before it says so.
        """
        name, _, ground = role.partition("@")
        with_hue, bare = ROLES[name]
        if self.plain:
            return bare
        return f"{with_hue} on $raised" if ground == "here" else with_hue

    def glyphs(self, text: str) -> str:
        """The text as this terminal can show it: inert, and in ASCII where it must be."""
        text = inert(text)
        if not self.ascii or text.isascii():
            return text
        return text.translate(_ASCII).encode("ascii", "replace").decode("ascii")

    def say(self, *parts: str | tuple[str, str] | Content) -> Content:
        """One piece of content: plain strings in ink, pairs are (text, role). Never markup."""
        made: list[Content | tuple[str, str]] = []
        for part in parts:
            if isinstance(part, Content):
                made.append(part)
                continue
            text, role = (part, "ink") if isinstance(part, str) else part
            made.append((self.glyphs(text), self.style(role)))
        return Content.assemble(*made)

    def spelled(self, value: Value) -> Value:
        """The value with every text in it as this terminal can show it.

        `±` is two characters in ASCII, so it is spelled out before anything is measured.
        """
        if not self.ascii:
            return value
        return cast(Value, self._spelled(value))

    def _spelled(self, value: object) -> object:
        if isinstance(value, str):
            return self.glyphs(value)
        if isinstance(value, tuple):
            return tuple(self._spelled(item) for item in value)
        if is_dataclass(value) and not isinstance(value, type):
            changed = {f.name: self._spelled(getattr(value, f.name)) for f in fields(value)}
            return replace(value, **changed)
        return value

    @property
    def theme(self) -> str:
        """The name of the theme to begin with."""
        return "plain" if self.plain else "night"


def decide_look(environ: Mapping[str, str], encoding: str, *, windows: bool = False) -> Look:
    """What the terminal and the keeper ask for, read once at start.

    A mapped 16-colour palette merges raised with water and good with faint, and bright yellow on
    a white terminal has 1.1:1, so below 256 colours hue is not used at all.
    """
    term = environ.get("TERM", "").lower()
    dumb = term in ("dumb", "unknown")
    many = (
        windows
        or environ.get("COLORTERM", "").lower() in ("truecolor", "24bit")
        or term.endswith(("256color", "-direct"))
        or "kitty" in term
    )
    utf8 = encoding.lower().replace("-", "").replace("_", "") in ("utf8", "utf8sig")
    return Look(
        plain="NO_COLOR" in environ or dumb or not many,
        ascii=dumb or not utf8,
    )


def _theme(name: str, palette: Mapping[str, str], *, dark: bool) -> Theme:
    return Theme(
        name=name,
        dark=dark,
        primary=palette["touch"],
        secondary=palette["soft"],
        accent=palette["touch"],
        warning=palette["care"],
        error=palette["stop"],
        success=palette["good"],
        foreground=palette["ink"],
        background=palette["ground"],
        surface=palette["ground"],
        panel=palette["panel"],
        variables={**palette, **_fields(palette)},
    )


def _fields(palette: Mapping[str, str]) -> dict[str, str]:
    return {
        "input-cursor-background": palette["touch"],
        "input-cursor-foreground": palette["ground"],
        "input-selection-background": palette["rule"],
        "input-selection-foreground": palette["ink"],
    }


def themes() -> tuple[Theme, ...]:
    """The themes to register before any style sheet is read."""
    default = dict.fromkeys(NIGHT, "ansi_default")
    plain = Theme(
        name="plain",
        ansi=True,
        primary="ansi_default",
        secondary="ansi_default",
        accent="ansi_default",
        warning="ansi_default",
        error="ansi_default",
        success="ansi_default",
        foreground="ansi_default",
        background="ansi_default",
        surface="ansi_default",
        panel="ansi_default",
        boost="ansi_default",
        variables={
            **default,
            **_fields(default),
            "input-cursor-text-style": "reverse",
            "ansi-background": "ansi_default",
            "ansi-foreground": "ansi_default",
        },
    )
    return (_theme("night", NIGHT, dark=True), _theme("day", DAY, dark=False), plain)
