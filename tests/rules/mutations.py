"""What a hand, an editor or a bad disk does to a protocol file: one small change at a place."""

from __future__ import annotations

import re
from collections.abc import Callable
from random import Random

NUMBER = re.compile(rb"\d+(?:\.\d+)?")
UNIT = re.compile(rb"(?<=\d )(?:g/L|mg/L|uL/L|mg/kg/d|min|h|d|C|% w/w|% w/v|mg/mL|g/mL)(?![\w/])")
KEY = re.compile(rb"^[ -]*([a-z][a-z-]*):", re.MULTILINE)
TOKEN = re.compile(rb"[^\s]+")
UNITS = (
    b"g/L", b"mg/L", b"ug/L", b"uL/L", b"mL/L", b"mg/kg/d", b"min", b"h", b"d", b"s", b"C", b"F",
    b"% w/w", b"% w/v", b"mg/mL", b"%", b"ppm", b"g", b"L", b"",
)  # fmt: skip
SCRAPS = (
    b"", b" ", b"\n", b"\t", b"- ", b": ", b" #", b"~", b"null", b"[", b"]", b"{", b"}", b"'",
    b'"', b"|", b">", b"&a ", b"*a", b"<<: ", b"!x ", b"---\n", b"? ", b"\\", b"\0", b"\xff",
    b".nan", b"1e3", b"1,5", b"010", b"1_0", b"yes", b"no", b"..", b"+/- 1", b"<", b"9" * 30,
)  # fmt: skip


def _cut(text: bytes, start: int, end: int, new: bytes) -> bytes:
    return text[:start] + new + text[end:]


def byte(text: bytes, hand: Random) -> bytes:
    at = hand.randrange(len(text))
    way = hand.randrange(3)
    new = bytes([hand.randrange(256)]) if way else b""
    return _cut(text, at, at + (way != 2), new)


def scrap(text: bytes, hand: Random) -> bytes:
    at = hand.randrange(len(text))
    return _cut(text, at, at + hand.choice((0, 0, 1, 5)), hand.choice(SCRAPS))


def _one(pattern: re.Pattern[bytes], text: bytes, hand: Random) -> re.Match[bytes] | None:
    found = list(pattern.finditer(text))
    return hand.choice(found) if found else None


def token(text: bytes, hand: Random) -> bytes:
    found = list(TOKEN.finditer(text))
    one, other = hand.choice(found), hand.choice(found)
    new = hand.choice((b"", other.group(), one.group() + b" " + one.group()))
    return _cut(text, *one.span(), new)


def line(text: bytes, hand: Random) -> bytes:
    lines = text.split(b"\n")
    at, other = hand.randrange(len(lines)), hand.randrange(len(lines))
    way = hand.randrange(5)
    if way == 0:
        del lines[at]
    elif way == 1:
        lines.insert(at, lines[at])
    elif way == 2:
        lines[at], lines[other] = lines[other], lines[at]
    elif way == 3:
        lines[at : at + 2] = [b" ".join(lines[at : at + 2])]
    else:
        del lines[at : at + hand.randrange(2, 9)]
    return b"\n".join(lines)


def number(text: bytes, hand: Random) -> bytes:
    one = _one(NUMBER, text, hand)
    if one is None:
        return text
    old = one.group()
    ways = (
        old + b"0", b"0" + old, old[:-1], old + b".5", b"-" + old, old + b"," + old, old + old,
        b"." + old, old + b".", old.replace(b".", b""), b"+" + old, old + b"e1", b'"' + old + b'"',
        str(hand.randrange(10**4)).encode(), b"0", old[:1] + b"." + old[1:], old + b".." + old,
    )  # fmt: skip
    return _cut(text, *one.span(), hand.choice(ways))


def unit(text: bytes, hand: Random) -> bytes:
    one = _one(UNIT, text, hand)
    return text if one is None else _cut(text, *one.span(), hand.choice(UNITS))


def key(text: bytes, hand: Random) -> bytes:
    one, other = _one(KEY, text, hand), _one(KEY, text, hand)
    if one is None or other is None:
        return text
    old = one.group(1)
    at = hand.randrange(len(old))
    ways = (other.group(1), old[:at] + old[at + 1 :], old + b"s", old.upper(), b"x-" + old, b"")
    return _cut(text, *one.span(1), hand.choice(ways))


def indent(text: bytes, hand: Random) -> bytes:
    lines = text.split(b"\n")
    at = hand.randrange(len(lines))
    for n in range(at, min(len(lines), at + hand.randrange(1, 5))):
        if hand.random() < 0.5:
            lines[n] = b" " * hand.randrange(1, 4) + lines[n]
        else:
            lines[n] = lines[n].removeprefix(b" " * hand.randrange(1, 4))
    return b"\n".join(lines)


MUTATIONS: dict[str, Callable[[bytes, Random], bytes]] = {
    "byte": byte, "scrap": scrap, "token": token, "line": line, "number": number, "unit": unit,
    "key": key, "indent": indent,
}  # fmt: skip


def mutated(text: bytes, hand: Random) -> tuple[bytes, list[str]]:
    """A file with one to three changes in it, and their kinds."""
    kinds = [hand.choice(list(MUTATIONS)) for _ in range(hand.choice((1, 1, 1, 2, 3)))]
    for kind in kinds:
        text = MUTATIONS[kind](text, hand) or b"\n"
    return text, kinds
