"""Whether a drug's name is another word for something that has a protocol of its own.

What has a protocol is dosed by it: its ceilings and its pairs must not be passed by a spelling.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

_SAME_AS = {
    "formaldehyde": "formalin",
    "formol": "formalin",
    "formalin": "formalin",
    "malachite": "malachite-green",
    "methylene": "methylene-blue",
    "methylthioninium": "methylene-blue",
    "permanganate": "potassium-permanganate",
    "peroxide": "hydrogen-peroxide",
    "chloramine": "chloramine-t",
    "tosylchloramide": "chloramine-t",
    "praziquantel": "praziquantel",
    "chelated-copper": "copper-chelated",
    "copper": "copper-sulfate",
    "sodium-chloride": "salt",
    "levamisole": "levamisole",
    "fenbendazole": "fenbendazole",
    "metronidazole": "metronidazole",
    "diflubenzuron": "diflubenzuron",
    "lufenuron": "lufenuron",
    "emamectin": "emamectin",
    "trichlorfon": "trichlorfon",
    "metrifonate": "trichlorfon",
    "dylox": "trichlorfon",
    "acriflavine": "acriflavine",
    "bronopol": "bronopol",
    "iodophor": "iodophor",
    "povidone": "iodophor",
    "eugenol": "clove-oil",
    "tricaine": "tricaine",
}
"""Words in a drug's name and the protocol they mean, the first that fits. Drug and
chemical names in use; common practice."""

_ANTIBIOTIC_STEMS = re.compile(
    r"(?:^|-)(?:[a-z]*(?:cycline|mycin|micin|kacin|cillin|oxacin|fenicol)|cef[a-z]+|ceph[a-z]+"
    r"|sul[fp]h?a(?!te)[a-z]+|ni(?:tro)?fur[a-z]+|furazolidone|oxolinic|nalidixic|flumequine"
    r"|trimethoprim|rifamp[a-z]+|tylosin|colistin|antibiotics?)(?:-|$)"
)
"""Stems that drugs against bacteria share: WHO, the use of stems in the selection of
International Nonproprietary Names; from memory."""


def is_antibiotic(text: str) -> bool:
    """Whether a name is that of a drug against bacteria, which only a vet directs."""
    return _ANTIBIOTIC_STEMS.search(plain_name(text)) is not None


def plain_name(text: str) -> str:
    """A name as file names are written: ``Copper sulfate`` becomes ``copper-sulfate``."""
    return "-".join(re.findall(r"[a-z0-9]+", text.casefold()))


def protocol_meant(text: str, known: Iterable[str]) -> str | None:
    """The protocol among `known` that a drug's name is another word for; None where none is."""
    names = set(known)
    if plain_name(text) in names:
        return plain_name(text)
    within = f"-{plain_name(text)}-"
    meant = (protocol for word, protocol in _SAME_AS.items() if f"-{word}-" in within)
    return next((protocol for protocol in meant if protocol in names), None)
