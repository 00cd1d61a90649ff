"""The palette keeps the contrast it promises; plain never needs hue."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from intake.screens.theme import DAY, NIGHT, ROLES, Look, decide_look, themes


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2 (W3C 2023), definition "relative luminance"."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_itself() -> None:
    # WCAG 2.2: white on black is 21:1; #767676 on white is the well-known 4.54:1.
    assert contrast("#FFFFFF", "#000000") == pytest.approx(21.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)


GROUNDS = ("ground", "panel", "raised", "water")
MEASURED = {
    "night": {
        "ink": (16.0, 14.4, 11.5, 9.5),
        "soft": (10.0, 9.0, 7.2, 5.9),
        "faint": (6.3, 5.7, 4.5, 3.8),
        "touch": (10.6, 9.5, 7.6, 6.3),
        "care": (10.7, 9.6, 7.7, 6.4),
        "stop": (8.5, 7.6, 6.1, 5.0),
        "good": (10.8, 9.8, 7.8, 6.4),
    },
    "day": {
        "ink": (17.2, 15.4, 14.3, 12.5),
        "soft": (8.9, 8.0, 7.4, 6.5),
        "faint": (6.1, 5.5, 5.1, 4.5),
        "touch": (7.9, 7.1, 6.6, 5.7),
        "care": (7.7, 6.9, 6.4, 5.6),
        "stop": (7.8, 7.0, 6.5, 5.7),
        "good": (7.9, 7.1, 6.6, 5.7),
    },
}


@pytest.mark.parametrize(("name", "palette"), [("night", NIGHT), ("day", DAY)])
def test_contrast_is_as_tabled(name: str, palette: Mapping[str, str]) -> None:
    for role, ratios in MEASURED[name].items():
        for ground, ratio in zip(GROUNDS, ratios, strict=True):
            found = contrast(palette[role], palette[ground])
            assert found == pytest.approx(ratio, abs=0.06), (role, ground, found)


@pytest.mark.parametrize("palette", [NIGHT, DAY])
def test_text_reaches_the_levels(palette: Mapping[str, str]) -> None:
    """1.4.6: 7:1 for what matters on the page; 1.4.3: 4.5:1 for everything written."""
    for role in ("ink", "soft", "touch", "care", "stop", "good"):
        assert contrast(palette[role], palette["ground"]) >= 7
        assert contrast(palette["ground"], palette[role]) >= 7  # the same block reversed
        for ground in ("panel", "raised"):
            assert contrast(palette[role], palette[ground]) >= 4.5
    for ground in ("ground", "panel", "raised"):
        assert contrast(palette["faint"], palette[ground]) >= 4.45


def test_the_themes_carry_every_role() -> None:
    for theme in themes():
        assert set(NIGHT) <= set(theme.variables)
    assert all(v == "ansi_default" for v in [themes()[2].variables[k] for k in NIGHT])


def test_plain_uses_attributes_and_no_hue() -> None:
    plain = Look(plain=True)
    for role in ROLES:
        assert "$" not in plain.style(role)
        assert "#" not in plain.style(role)
    assert plain.style("stop") == "bold reverse"
    assert plain.style("care") == "bold underline"
    assert plain.style("touch") == "bold"
    assert all("italic" not in s and "dim" not in s for pair in ROLES.values() for s in pair)


@pytest.mark.parametrize(
    ("environ", "encoding", "plain", "ascii_only"),
    [
        ({"TERM": "xterm-256color"}, "utf-8", False, False),
        ({"TERM": "xterm", "COLORTERM": "truecolor"}, "UTF-8", False, False),
        ({"TERM": "xterm-256color", "NO_COLOR": "1"}, "utf-8", True, False),
        ({"TERM": "xterm-256color", "NO_COLOR": ""}, "utf-8", True, False),
        ({"TERM": "dumb"}, "utf-8", True, True),
        ({"TERM": "xterm"}, "utf-8", True, False),
        ({"TERM": "linux"}, "utf-8", True, False),
        ({"TERM": "xterm-256color"}, "latin-1", False, True),
        ({"TERM": "xterm-256color"}, "ascii", False, True),
    ],
)
def test_decided_once(
    environ: dict[str, str], encoding: str, plain: bool, ascii_only: bool
) -> None:
    assert decide_look(environ, encoding) == Look(plain=plain, ascii=ascii_only)


def test_markup_is_never_read() -> None:
    said = Look().say(("gill [/ flare [b + x]", "bold"), " and [/b]")
    assert said.plain == "gill [/ flare [b + x] and [/b]"


def test_ascii_leaves_nothing_else() -> None:
    look = Look(plain=True, ascii=True)
    said = look.say("✓ ▲ ■ ┃ ━ ± ▌ ◆ · ■■■ käse")
    assert said.plain.isascii()
    assert said.plain.startswith("x ! X | = +- > # .")
