"""The names of treatments that files may mention before a file describes them."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence

from intake.rules.one_file import Parsed
from intake.science.problem import Problem

TREATMENT_NAMES = (
    "salt",
    "formalin",
    "formalin-malachite",
    "malachite-green",
    "methylene-blue",
    "potassium-permanganate",
    "hydrogen-peroxide",
    "chloramine-t",
    "praziquantel",
    "copper-sulfate",
    "copper-chelated",
    "levamisole",
    "fenbendazole",
    "metronidazole",
    "diflubenzuron",
    "lufenuron",
    "emamectin",
    "trichlorfon",
    "acriflavine",
    "bronopol",
    "iodophor",
    "clove-oil",
    "tricaine",
    "thiosulfate",
    "bicarbonate",
    "ammonia-binder",
    "sulfite-conditioner",
    "heat",
    "vet-directed",
    "hypochlorite",
    "peroxymonosulfate",
    "benzalkonium",
    "ethanol",
)
"""Every treatment and equipment cleaner that has a name here, described by a file or not."""


def unknown_names(files: Iterable[Parsed], waiting: Sequence[str] = ()) -> list[Problem]:
    """Names that pairs and plans mention and no treatment has: a pair misspelt would never be
    refused, an offer misspelt never be dosed.

    `waiting` are treatments that are described in files not read yet.
    """
    read = list(files)
    known = [*TREATMENT_NAMES, *waiting, *(f.id for f in read if f.kind == "treatment")]
    problems: list[Problem] = []
    for parsed in read:
        for mention in parsed.mentions:
            if mention.name in known:
                continue
            near = difflib.get_close_matches(mention.name, known, 1, 0.6)
            hint = f"did you mean '{near[0]}'?" if near else ""
            text = f"there is no treatment named '{mention.name}'"
            place = (parsed.path, mention.line, mention.column)
            problems.append(Problem("no-such-name", text, hint, *place))
    return problems
